"""Kinds of sensor: principle, the gas the display is scaled in, response factors."""

from collections.abc import Mapping
from fractions import Fraction
from functools import partial

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Scalar
from builder.program.faults import Faults
from builder.program.interval import Interval
from builder.program.localized import LocalizedText, localized_text
from builder.program.reading import Fields
from builder.program.tolerance import Tolerance, read_tolerance
from builder.program.values import given_of, number_of, quantity_of, written_unit

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

    gas: Given[str]
    there: Given[Quantity]
    """What was really there."""
    shown: Given[Quantity]
    """What the display showed, in the same unit."""
    source: Given[str]
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
    cross: Cross | None
    note: str
    where: Where
    least_span: Given[Quantity] | None = None
    """Share of the first signal at which it is replaced, where the site says so."""
    names: LocalizedText | None = None
    """The name in every language it has."""
    settles_in: Given[Quantity] | None = None
    """After it was put in, before its readings count."""
    poisoned_by: tuple[Given[str], ...] = ()
    """What deadens it, in words that areas use too."""
    pressures: tuple[Given[Quantity], Given[Quantity]] | None = None
    """Lowest and highest air pressure that it is made for."""
    error: Tolerance | None = None
    """How far its display may lie off what is there, ageing between calibrations included, where that is known."""

    def sees(self, gas: str) -> bool:
        """Whether the content says that this sensor responds to ``gas`` with a known factor."""
        if gas == self.shows.value:
            return True
        return self.factors is not None and (gas in self.factors.table or gas == self.factors.relative_to.value)


def channel_units(channel: str, faults: Faults) -> tuple[str, ...]:
    """Units that values of a channel may have; any of them for a channel that does not exist and was noted."""
    if channel in CHANNEL_UNITS:
        return CHANNEL_UNITS[channel]
    return ("ppm", "%vol") if faults.knows(CHANNEL, channel) else ("ppm", "%vol", "%LEL")


def read_sensor(fields: Fields) -> Sensor:
    """An entry of ``sensors.yaml``."""
    identity = fields.identity("sensor")
    names = localized_text(fields, "name")
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
        name=names.value,
        names=names,
        principle=principle.value,
        channel=channel,
        shows=shows,
        calibrated_with=fields.reference("calibrated-with", "gas"),
        minimum_oxygen=fields.maybe_quantity("minimum-oxygen", "%vol"),
        lamp=lamp,
        life=fields.interval("life"),
        least_span=fields.maybe_quantity("least-span", "%"),
        blind_to=fields.references("blind-to", "gas"),
        factors=fields.maybe_part("factors", lambda part: _factors(part, shows)),
        cross=fields.maybe_part("cross-sensitivity", lambda part: _cross(part, shows, channel)),
        note=note.value if note else "",
        where=identity.where,
        error=fields.maybe_part("error", partial(read_tolerance, units=channel_units(channel.value, fields.faults))),
        settles_in=fields.maybe_quantity("settles-in", "min", "h", above=True),
        poisoned_by=fields.texts("poisoned-by"),
        pressures=fields.maybe_part("pressures", _pressures),
    )


def _pressures(fields: Fields) -> tuple[Given[Quantity], Given[Quantity]]:
    return fields.quantity("from", "kPa", above=True), fields.quantity("to", "kPa", above=True)


def _factors(fields: Fields, shows: Given[str]) -> Factors:
    convention = fields.choice("convention", CONVENTIONS)
    relative_to = fields.reference("relative-to", "gas")
    table: dict[str, Given[Fraction]] = {}
    for key, node in fields.pairs("table", required=True):
        fields.faults.refer("gas", given_of(key))
        if isinstance(node, Scalar):
            table[key.text] = number_of(node, fields.faults, key.text)
        else:
            fields.faults.shape(node.where, f"a collection for factor {key.text!r}", "one number")
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
    gas = fields.reference("gas", "gas")
    if gas.value and (gas.value == shows.value or gas.value not in table):
        found = f"a proof row of {gas.value!r}"
        fields.faults.add(gas.where, found, "a gas of the table that is not the one the display shows")
    there = fields.quantity("there", *PROOF_UNITS, above=True)
    return ProofRow(
        gas=gas,
        there=there,
        shown=fields.quantity("shown", written_unit(there, PROOF_UNITS), above=True),
        source=fields.text("source"),
    )


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


def _cross(fields: Fields, shows: Given[str], channel: Given[str]) -> Cross:
    if channel.value == FLAMMABLE:
        fields.faults.add(fields.where, "cross-sensitivity on the flammable channel", "factors: for what burns")
    table: dict[str, Given[Quantity]] = {}
    for key, node in fields.pairs("table", required=True):
        fields.faults.refer("gas", given_of(key))
        if key.text == shows.value and key.text:
            found = f"cross-sensitivity to {key.text!r}, the gas the display shows"
            fields.faults.add(key.where, found, "gases it is not meant for")
        elif isinstance(node, Scalar):
            table[key.text] = quantity_of(node, ("%",), fields.faults, key.text, least=None)
        else:
            fields.faults.shape(node.where, f"a collection for {key.text!r}", "one share in %, with its sign")
    return Cross(source=fields.text("source"), table=table)
