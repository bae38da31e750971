"""Models of detector: sensor positions, ranges, pump, battery, memory, lone-worker timers."""

from collections.abc import Mapping
from typing import Any

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program import model_facts
from builder.program.declared import after, asked, here, identity, made, record, under
from builder.program.faults import Faults
from builder.program.interval import Interval, interval_of
from builder.program.localized import LocalizedText, localized_text
from builder.program.reading import Fields
from builder.program.values import ID, text_of, written_unit

FIRES = ("at-or-above", "above")
PUMP_FILTER = "pump-filter"
"""The part that a model has whose pump says ``filter-every``."""
READS_IN = ("%LEL", "%vol", "ppm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """One sensor as fitted in a model."""

    number: Given[int]
    sensor: Given[str]
    full_scale: Given[Quantity]
    resolution: Given[Quantity]
    t90: Given[Quantity]
    unit: str
    """Unit of the display, one of %LEL, %vol, ppm."""


def _positions(fields: Fields) -> tuple[Position, ...]:
    made = fields.parts("positions", "position", _position)
    for at, position in enumerate(made):
        numbered = position.number.text == str(position.number.value)
        if numbered and any(position.number.value == earlier.number.value for earlier in made[:at]):
            fields.faults.twice(
                position.number.where, f"position {position.number.value} stands twice", "each position once"
            )
        if position.sensor.value and any(position.sensor.value == earlier.sensor.value for earlier in made[:at]):
            found = f"sensor {position.sensor.value!r} stands in two positions"
            fields.faults.twice(position.sensor.where, found, "a kind of sensor once a model")
    if not made and "positions" in fields:
        fields.faults.lacks(fields.where_of("positions"), "no positions", "at least one")
    return made


def _position(fields: Fields) -> Position:
    before = len(fields.faults.problems)
    full_scale = fields.quantity("full-scale", *READS_IN, above=True)
    resolution = fields.quantity("resolution", *READS_IN, above=True)
    unit = written_unit(full_scale, READS_IN)
    if len(fields.faults.problems) == before:  # else one of them is a stand-in, which proves nothing
        _judge_step(full_scale, resolution, fields.faults)
    return Position(
        number=fields.whole("position", least=1),
        sensor=fields.reference("sensor", "sensor"),
        full_scale=full_scale,
        resolution=resolution,
        t90=fields.quantity("t90", "s", above=True),
        unit=unit,
    )


def _judge_step(full_scale: Given[Quantity], resolution: Given[Quantity], faults: Faults) -> None:
    if written_unit(full_scale, READS_IN) != written_unit(resolution, READS_IN):  # a display has one
        found = f"resolution {resolution.text!r} for a full scale of {full_scale.text!r}"
        faults.add(resolution.where, found, "the unit of the full scale")
    elif full_scale.value < resolution.value:
        faults.add(resolution.where, f"resolution {resolution.text!r} above the full scale", "a smaller step")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pump:
    """A built-in sampling pump."""

    filter_every: Given[Interval] | None = asked(Fields.maybe_interval)
    """How long a filter lasts, where the site says so."""
    flow: Given[Quantity] = asked(Fields.quantity, "L/min", above=True)
    longest_hose: Given[Quantity] = asked(Fields.quantity, "m")
    flow_block: Given[Quantity] | None = asked(Fields.maybe_quantity, "s", above=True)
    """Time within which it must alarm when the inlet is closed, where the manual says so."""
    trap_volume: Given[Quantity] | None = asked(Fields.maybe_quantity, "mL")
    """What filter and water trap hold: gas has to fill them first."""
    keeps_out: Given[str] | None = asked(Fields.maybe_text)
    """What keeps water and dust out, in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hose:
    """The hose a pumped model is used with."""

    bore: Given[Quantity] = asked(Fields.quantity, "mm", above=True)
    length: Given[Quantity] = asked(Fields.quantity, "m", above=True)


def _when_full(fields: Fields) -> Given[str] | None:
    chosen = "when-full" in fields
    return fields.choice("when-full", model_facts.WHEN_FULL) if chosen else fields.maybe_text("when-full")


@dataclass(frozen=True, slots=True, kw_only=True)
class Log:
    """The data log."""

    download_every: Given[Interval] = asked(Fields.interval)
    capacity: Given[Quantity] = asked(Fields.quantity, "h", above=True)
    interval: Given[Quantity] | None = asked(Fields.maybe_quantity, "s", above=True)
    """Between two records."""
    keeps: Given[str] | None = asked(Fields.maybe_text)
    """What is kept, in words."""
    when_full: Given[str] | None = made(_when_full)
    """One of ``WHEN_FULL``."""
    clock: model_facts.Clock | None = asked(Fields.maybe_part, record(model_facts.Clock), "clock of a data log")

    @property
    def stops(self) -> bool:
        """Whether it keeps nothing more once it is full."""
        return self.when_full is not None and self.when_full.value == "stops"


@dataclass(frozen=True, slots=True, kw_only=True)
class LoneWorker:
    """Timers of the motion alarm."""

    motionless: Given[Quantity] = asked(Fields.quantity, "s", above=True)
    warning: Given[Quantity] = asked(Fields.quantity, "s", above=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Works:
    """Between which temperatures a model works."""

    coldest: Given[Quantity] = under("from", Fields.quantity, "°C", least=-80)
    hottest: Given[Quantity] = under("to", Fields.quantity, "°C", least=-80)


def _works(fields: Fields) -> Works:
    works = record(Works)(fields)
    if works.coldest.value > works.hottest.value:
        found = f"works between {works.coldest.text!r} and {works.hottest.text!r}"
        fields.faults.range(fields.where, found, "from: the colder, to: the warmer of both")
    return works


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery:
    """What a model runs on."""

    life: Given[Interval] | None = asked(Fields.maybe_interval)
    """How long a battery lasts until it is changed, where the site says so."""
    runtime: Given[Quantity] = asked(Fields.quantity, "h", above=True)
    at_cold: Given[Quantity] | None = asked(Fields.maybe_quantity, "h", above=True)
    """The same at the lowest working temperature, where the manual says so."""
    cells: tuple[model_facts.Cells, ...] = made(model_facts.read_cells)
    """Its own first, then those taken instead; empty where the battery says nothing of them."""


def _battery(fields: Fields) -> Battery:
    battery = record(Battery)(fields)
    cold = battery.at_cold
    if cold is not None and cold.value > battery.runtime.value:
        fields.faults.add(cold.where, f"at-cold {cold.text!r} above the runtime", "at most the runtime")
    return battery


def _parts(fields: Fields, model: Mapping[str, Any]) -> dict[str, Given[Interval]]:
    """Parts that wear; the filter of a pump is one of them."""
    made: dict[str, Given[Interval]] = {}
    pump: Pump | None = model["pump"]
    if pump is not None and pump.filter_every is not None:
        made[PUMP_FILTER] = pump.filter_every
    for key, node in fields.pairs("parts"):
        if not ID.fullmatch(key.text):
            fields.faults.id_form(key.where, f"part {key.text!r}", "lower-case letters, digits and single hyphens")
        if key.text in made:
            fields.faults.add(key.where, f"{PUMP_FILTER!r} beside filter-every", "one of the two")
        made[key.text] = interval_of(text_of(node, fields.faults, key.text), fields.faults, use_days=False)
    for part, every in made.items():
        if not fields.faults.knows("part", part):
            fields.faults.define("part", Given(part, every.where, part))
    return made


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """One model of detector."""

    id: str = identity("model")
    names: LocalizedText = under("name", localized_text)
    """The name in every language it has."""
    name: str = after(lambda _, known: known["names"].value)
    works: Works = under("works-between", Fields.part, _works)
    battery: Battery = asked(Fields.part, _battery)
    positions: tuple[Position, ...] = made(_positions)
    alarm_fires: Given[str] = asked(Fields.choice, FIRES)
    pump: Pump | None = asked(Fields.maybe_part, record(Pump))
    hose: Hose | None = asked(Fields.maybe_part, record(Hose))
    warm_up: model_facts.WarmUp | None = asked(Fields.maybe_part, record(model_facts.WarmUp))
    alarm_modes: model_facts.AlarmModes | None = under("alarms", Fields.maybe_part, record(model_facts.AlarmModes))
    averages: model_facts.Averages | None = asked(Fields.maybe_part, record(model_facts.Averages))
    relay: model_facts.Relay | None = asked(Fields.maybe_part, model_facts.read_relay)
    """How an alarm reaches others, where the site says so."""
    blanks: tuple[Given[str], ...] = under("blank-positions", Fields.texts)
    """Positions that a blank plug closes."""
    log: Log | None = asked(Fields.maybe_part, record(Log))
    lone_worker: LoneWorker | None = asked(Fields.maybe_part, record(LoneWorker))
    manual: Given[str] = asked(Fields.text)
    parts: Mapping[str, Given[Interval]] = after(_parts)
    """Parts that wear, by id, and how long each lasts."""
    where: Where = here("id")


def read_model(fields: Fields) -> Model:
    """An entry of ``models.yaml``."""
    model = record(Model)(fields)
    if (model.pump is None) != (model.hose is None):
        allowed = "both for a pumped model, neither for diffusion"
        fields.faults.lacks(model.where, "only one of pump and hose", allowed)
    return model
