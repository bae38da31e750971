"""Models of detector: sensor positions, ranges, pump, battery, memory, lone-worker timers."""

from collections.abc import Mapping
from dataclasses import field, replace

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program import model_facts
from builder.program.declared import asked, made, record
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
class Model:
    """One model of detector."""

    id: str
    name: str
    positions: tuple[Position, ...]
    alarm_fires: Given[str]
    pump: Pump | None
    hose: Hose | None
    runtime: Given[Quantity]
    log: Log | None
    lone_worker: LoneWorker | None
    coldest: Given[Quantity]
    hottest: Given[Quantity]
    manual: Given[str]
    where: Where
    at_cold: Given[Quantity] | None = None
    """Battery runtime at the lowest working temperature, where the manual says so."""
    names: LocalizedText | None = None
    """The name in every language it has."""
    warm_up: model_facts.WarmUp | None = None
    battery_life: Given[Interval] | None = None
    """How long a battery lasts until it is changed, where the site says so."""
    cells: tuple[model_facts.Cells, ...] = ()
    """Its own first, then those taken instead; empty where the battery says nothing of them."""
    alarm_modes: model_facts.AlarmModes | None = None
    averages: model_facts.Averages | None = None
    relay: model_facts.Relay | None = None
    """How an alarm reaches others, where the site says so."""
    blanks: tuple[Given[str], ...] = ()
    """Positions that a blank plug closes."""
    parts: Mapping[str, Given[Interval]] = field(default_factory=dict)
    """Parts that wear, by id, and how long each lasts."""


def read_model(fields: Fields) -> Model:
    """An entry of ``models.yaml``."""
    identity = fields.identity("model")
    names = localized_text(fields, "name")
    between = fields.inner("works-between", "works-between")
    battery = fields.inner("battery", "battery")
    model = Model(
        id=identity.value,
        name=names.value,
        names=names,
        positions=_positions(fields),
        alarm_fires=fields.choice("alarm-fires", FIRES),
        pump=fields.maybe_part("pump", record(Pump)),
        hose=fields.maybe_part("hose", record(Hose)),
        battery_life=battery.maybe_interval("life"),
        runtime=battery.quantity("runtime", "h", above=True),
        at_cold=battery.maybe_quantity("at-cold", "h", above=True),
        cells=model_facts.read_cells(battery),
        warm_up=fields.maybe_part("warm-up", record(model_facts.WarmUp)),
        alarm_modes=fields.maybe_part("alarms", record(model_facts.AlarmModes)),
        averages=fields.maybe_part("averages", record(model_facts.Averages)),
        relay=fields.maybe_part("relay", model_facts.read_relay),
        blanks=fields.texts("blank-positions"),
        log=fields.maybe_part("log", record(Log)),
        lone_worker=fields.maybe_part("lone-worker", record(LoneWorker)),
        coldest=between.quantity("from", "°C", least=-80),
        hottest=between.quantity("to", "°C", least=-80),
        manual=fields.text("manual"),
        where=identity.where,
    )
    model = replace(model, parts=_parts(fields, model.pump))
    between.close()
    if model.coldest.value > model.hottest.value:
        found = f"works between {model.coldest.text!r} and {model.hottest.text!r}"
        fields.faults.range(between.where, found, "from: the colder, to: the warmer of both")
    battery.close()
    if model.at_cold is not None and model.at_cold.value > model.runtime.value:
        fields.faults.add(
            model.at_cold.where, f"at-cold {model.at_cold.text!r} above the runtime", "at most the runtime"
        )
    if (model.pump is None) != (model.hose is None):
        fields.faults.lacks(
            identity.where, "only one of pump and hose", "both for a pumped model, neither for diffusion"
        )
    return model


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


def _parts(fields: Fields, pump: Pump | None) -> dict[str, Given[Interval]]:
    """Parts that wear; the filter of a pump is one of them."""
    made: dict[str, Given[Interval]] = {}
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
