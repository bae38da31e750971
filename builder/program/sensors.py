"""Kinds of sensor: principle, the gas the display is scaled in, response factors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from builder.base.quantity import Quantity
from builder.base.where import Given, Where
from builder.load.nodes import Node, Scalar
from builder.program.interval import Interval, interval_of
from builder.program.reading import Faults, Fields, each, number_of

PRINCIPLES = ("catalytic", "infrared", "electrochemical", "photoionisation", "thermal-conductivity")
FLAMMABLE, OXYGEN, VAPOUR = "flammable", "oxygen", "vapour"
CHANNEL = "channel"
"""Kind of reference to a channel: one of the three above, or the id of a gas of the site."""
CHANNEL_UNITS = {FLAMMABLE: ("%LEL",), OXYGEN: ("%vol",)}
"""Units of a channel's values; ppm or %vol for any other."""
CONVENTIONS = ("multiply-reading",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Factors:
    """Response factors of one sensor kind: true value = reading × factor."""

    relative_to: Given[str]
    """The gas the display is scaled in when these factors hold."""
    source: Given[str]
    """Where the site has them from."""
    table: Mapping[str, Given[Fraction]]
    """Factor by gas id."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor:
    """One kind of sensor."""

    id: str
    name: str
    principle: str
    channel: Given[str]
    """``flammable``, ``oxygen``, ``vapour`` or the id of the one gas it measures."""
    shows: Given[str]
    """Gas the display is scaled in."""
    calibrated_with: Given[str]
    """Gas in the cylinder that adjusts it."""
    minimum_oxygen: Given[Quantity] | None
    lamp: Given[Quantity] | None
    life: Given[Interval]
    blind_to: tuple[Given[str], ...]
    factors: Factors | None
    note: str
    where: Where

    def sees(self, gas: str) -> bool:
        """Whether the content says that this sensor responds to ``gas`` with a known factor."""
        return gas == self.shows.value or (self.factors is not None and gas in self.factors.table)


def channel_units(channel: str, faults: Faults) -> tuple[str, ...]:
    """Units that values of a channel may have; any of them for a channel that does not exist and was noted."""
    if channel in CHANNEL_UNITS:
        return CHANNEL_UNITS[channel]
    return ("ppm", "%vol") if faults.knows(CHANNEL, channel) else ("ppm", "%vol", "%LEL")


def read_sensors(node: Node | None, faults: Faults) -> dict[str, Sensor]:
    """All kinds of sensor by id."""
    return {sensor.id: sensor for sensor in each(node, faults, "sensors", "sensor", _sensor)}


def _sensor(fields: Fields) -> Sensor:
    identity = fields.identity("sensor")
    principle = fields.choice("principle", PRINCIPLES)
    channel = fields.reference("channel", CHANNEL)
    lamp = fields.maybe_quantity("lamp", "eV", above=True)
    known = principle.value != "" and principle.value == principle.text
    if known and (principle.value == "photoionisation") != (lamp is not None):
        found = "no lamp" if lamp is None else f"a lamp on a {principle.value} sensor"
        fields.faults.add(identity.where, found, "lamp: energy in eV on photoionisation sensors, and only there")
    shows = fields.reference("shows", "gas")
    note = fields.maybe_text("note")
    return Sensor(
        id=identity.value,
        name=fields.text("name").value,
        principle=principle.value,
        channel=channel,
        shows=shows,
        calibrated_with=fields.reference("calibrated-with", "gas"),
        minimum_oxygen=fields.maybe_quantity("minimum-oxygen", "%vol"),
        lamp=lamp,
        life=interval_of(fields.text("life"), fields.faults, use_days=False),
        blind_to=fields.references("blind-to", "gas"),
        factors=_factors(fields.maybe_inner("factors", "factors"), shows),
        note=note.value if note else "",
        where=identity.where,
    )


def _factors(fields: Fields | None, shows: Given[str]) -> Factors | None:
    if fields is None:
        return None
    fields.choice("convention", CONVENTIONS)
    relative_to = fields.reference("relative-to", "gas")
    if relative_to.value and shows.value and relative_to.value != shows.value:
        allowed = f"{shows.value}, the gas the display shows; convert the table first"
        fields.faults.add(relative_to.where, f"factors relative to {relative_to.value!r}", allowed)
    table: dict[str, Given[Fraction]] = {}
    for key, node in fields.pairs("table", required=True):
        fields.faults.refer("gas", Given(key.text, key.where, key.text))
        if isinstance(node, Scalar):
            table[key.text] = number_of(node, fields.faults, key.text)
            if key.text == shows.value and table[key.text].value != 1:
                found = f"factor {node.text} for {key.text!r}, the gas the display shows"
                fields.faults.add(node.where, found, "1, or no factor for that gas")
        else:
            fields.faults.add(node.where, f"a collection for factor {key.text!r}", "one number")
    made = Factors(relative_to=relative_to, source=fields.text("source"), table=table)
    fields.close()
    return made
