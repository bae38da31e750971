"""Kinds of sensor: principle, the gas the display is scaled in, response factors."""

from collections.abc import Mapping
from fractions import Fraction
from functools import partial
from typing import Any

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import after, asked, here, identity, record, under, words
from builder.program.faults import Faults
from builder.program.interval import Interval
from builder.program.localized import LocalizedText, localized_text
from builder.program.reading import Fields
from builder.program.tolerance import Tolerance, read_tolerance
from builder.program.values import number_of, quantity_of, single, written_unit

PRINCIPLES = ("catalytic", "infrared", "electrochemical", "photoionisation", "thermal-conductivity")
FLAMMABLE, OXYGEN, VAPOUR = "flammable", "oxygen", "vapour"
CHANNEL = "channel"
"""Kind of reference to a channel: one of the three above, or the id of a gas of the site."""
CHANNEL_UNITS = {FLAMMABLE: ("%LEL",), OXYGEN: ("%vol",)}
"""Units of a channel's values; ppm or %vol for any other."""
MULTIPLY, RELATIVE = "multiply-reading", "relative-response"
PROOF_UNITS = ("%LEL", "ppm", "%vol")
"""Units of what is there and of what is shown for it; the same for both."""
CONVENTIONS = (MULTIPLY, RELATIVE)
"""Factor that multiplies the reading, or its inverse: signal relative to that of the same share of the other gas."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofRow:
    """One observation that a table of factors must agree with: this much gas, so much shown."""

    gas: Given[str] = asked(Fields.reference, "gas")
    there: Given[Quantity] = asked(Fields.quantity, *PROOF_UNITS, above=True)
    """What was really there."""
    shown: Given[Quantity] = after(
        lambda part, known: part.quantity("shown", written_unit(known["there"], PROOF_UNITS), above=True)
    )
    """What the display showed, in the same unit."""
    source: Given[str] = asked(Fields.text)
    """Who saw it: the maker's document, or the site's own test with its day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Factors:
    """Response factors of one sensor kind, as their source prints them."""

    convention: Given[str]
    """One of ``CONVENTIONS``."""
    relative_to: Given[str]
    """The gas the numbers of the table are relative to; the gas shown, or one the table relates to it."""
    source: Given[str]
    """Where the site has them from."""
    table: Mapping[str, Given[Fraction]]
    """Number by gas id, as stated."""
    proof: tuple[ProofRow, ...] = ()
    """What the table is held against."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cross:
    """What gases it is not meant for do to the reading of one sensor kind."""

    source: Given[str]
    """Where the site has it from."""
    table: Mapping[str, Given[Quantity]]
    """Reading as a share of the other gas, by gas id; negative where it lowers the reading."""


def channel_units(channel: str, faults: Faults) -> tuple[str, ...]:
    """Units that values of a channel may have; any of them for a channel that does not exist and was noted."""
    if channel in CHANNEL_UNITS:
        return CHANNEL_UNITS[channel]
    return ("ppm", "%vol") if faults.knows(CHANNEL, channel) else ("ppm", "%vol", "%LEL")


def _pressures(fields: Fields) -> tuple[Given[Quantity], Given[Quantity]]:
    return fields.quantity("from", "kPa", above=True), fields.quantity("to", "kPa", above=True)


def _factors(fields: Fields, shows: Given[str]) -> Factors:
    convention = fields.choice("convention", CONVENTIONS)
    relative_to = fields.reference("relative-to", "gas")
    table: dict[str, Given[Fraction]] = {}
    for key, node in fields.by_reference("table", "gas", required=True):
        factor = single(node, fields.faults, f"factor {key.text!r}", "one number")
        if factor:
            table[key.text] = number_of(factor, fields.faults, key.text)
    made = Factors(
        convention=convention,
        relative_to=relative_to,
        source=fields.text("source"),
        table=table,
        proof=fields.parts("proof", "proof row", lambda part: _proof(part, shows, table), required=False),
    )
    _judge_reference(made, shows, fields.faults)
    return made


def _proof(fields: Fields, shows: Given[str], table: Mapping[str, Given[Fraction]]) -> ProofRow:
    """A row of another gas than the one shown: only such a row can tell a factor from its inverse."""
    row = record(ProofRow)(fields)
    if row.gas.value and (row.gas.value == shows.value or row.gas.value not in table):
        found = f"a proof row of {row.gas.value!r}"
        fields.faults.add(row.gas.where, found, "a gas of the table that is not the one the display shows")
    return row


def _judge_reference(factors: Factors, shows: Given[str], faults: Faults) -> None:
    """The gas of reference has factor 1 by definition, and the table must lead from it to the gas shown."""
    relative_to = factors.relative_to
    if not relative_to.value or not shows.value:
        return
    if relative_to.value != shows.value and shows.value not in factors.table:
        allowed = f"{shows.value}, the gas the display shows; or a table that has {shows.value} too"
        faults.add(relative_to.where, f"factors relative to {relative_to.value!r}", allowed)
    own = factors.table.get(relative_to.value)
    if own is not None and own.value != 1:
        named = "the gas the display shows" if relative_to.value == shows.value else "the gas the table is relative to"
        faults.add(own.where, f"factor {own.text} for {relative_to.value!r}, {named}", "1, or no factor for that gas")


def _error(fields: Fields, sensor: Mapping[str, Any]) -> Tolerance:
    return read_tolerance(fields, channel_units(sensor["channel"].value, fields.faults))


def _cross(fields: Fields, sensor: Mapping[str, Any]) -> Cross:
    shows: Given[str] = sensor["shows"]
    if sensor["channel"].value == FLAMMABLE:
        fields.faults.add(fields.where, "cross-sensitivity on the flammable channel", "factors: for what burns")
    table: dict[str, Given[Quantity]] = {}
    for key, node in fields.by_reference("table", "gas", required=True):
        if key.text == shows.value and key.text:
            found = f"cross-sensitivity to {key.text!r}, the gas the display shows"
            fields.faults.add(key.where, found, "gases it is not meant for")
        elif share := single(node, fields.faults, repr(key.text), "one share in %, with its sign"):
            table[key.text] = quantity_of(share, ("%",), fields.faults, key.text, least=None)
    return Cross(source=fields.text("source"), table=table)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor:
    """One kind of sensor."""

    id: str = identity("sensor")
    names: LocalizedText = under("name", localized_text)
    """The name in every language it has."""
    name: str = after(lambda _, known: known["names"].value)
    given_principle: Given[str] = under("principle", Fields.choice, PRINCIPLES)
    principle: str = after(lambda _, known: known["given_principle"].value)
    channel: Given[str] = asked(Fields.reference, CHANNEL)
    """``flammable``, ``oxygen``, ``vapour`` or the id of the one gas it measures."""
    lamp: Given[Quantity] | None = asked(Fields.maybe_quantity, "eV", above=True)
    shows: Given[str] = asked(Fields.reference, "gas")
    """Gas the display is scaled in."""
    note: str = asked(words)
    calibrated_with: Given[str] = asked(Fields.reference, "gas")
    """Gas in the cylinder that adjusts it."""
    minimum_oxygen: Given[Quantity] | None = asked(Fields.maybe_quantity, "%vol")
    life: Given[Interval] = asked(Fields.interval)
    least_span: Given[Quantity] | None = asked(Fields.maybe_quantity, "%")
    """Share of the first signal at which it is replaced, where the site says so."""
    blind_to: tuple[Given[str], ...] = asked(Fields.references, "gas")
    factors: Factors | None = after(
        lambda part, known: part.maybe_part("factors", partial(_factors, shows=known["shows"]))
    )
    cross: Cross | None = after(lambda part, known: part.maybe_part("cross-sensitivity", partial(_cross, sensor=known)))
    where: Where = here("id")
    error: Tolerance | None = after(lambda part, known: part.maybe_part("error", partial(_error, sensor=known)))
    """How far its display may lie off what is there, ageing between calibrations included, where that is known."""
    settles_in: Given[Quantity] | None = asked(Fields.maybe_quantity, "min", "h", above=True)
    """After it was put in, before its readings count."""
    poisoned_by: tuple[Given[str], ...] = asked(Fields.texts)
    """What deadens it, in words that areas use too."""
    pressures: tuple[Given[Quantity], Given[Quantity]] | None = asked(Fields.maybe_part, _pressures)
    """Lowest and highest air pressure that it is made for."""

    def sees(self, gas: str) -> bool:
        """Whether the content says that this sensor responds to ``gas`` with a known factor."""
        if gas == self.shows.value:
            return True
        return self.factors is not None and (gas in self.factors.table or gas == self.factors.relative_to.value)


def read_sensor(fields: Fields) -> Sensor:
    """An entry of ``sensors.yaml``."""
    sensor = record(Sensor)(fields)
    known = sensor.principle != "" and sensor.principle == sensor.given_principle.text
    if known and (sensor.principle == "photoionisation") != (sensor.lamp is not None):
        found = "no lamp" if sensor.lamp is None else f"a lamp on a {sensor.principle} sensor"
        fields.faults.add(sensor.where, found, "lamp: energy in eV on photoionisation sensors, and only there")
    return sensor
