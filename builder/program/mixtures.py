"""Mixtures of gases or vapours that an area's air can hold, by their parts."""

from collections.abc import Mapping
from fractions import Fraction

from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.rounding import plain
from builder.base.where import Given, Where
from builder.load.nodes import Scalar
from builder.program.faults import Faults
from builder.program.gases import OXYGEN_GAS
from builder.program.reading import Fields
from builder.program.values import ID, quantity_of

WHOLE = 100
MOST_PARTS = 8
"""Beyond, the worst composition of ranges is not looked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """How much of a mixture one gas is, in percent of its volume."""

    lowest: Given[Quantity]
    highest: Given[Quantity]
    """The same where one number is known."""

    @property
    def ranged(self) -> bool:
        """Whether a range is known, and not one number."""
        return magnitude(self.lowest.value, "%") != magnitude(self.highest.value, "%")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """One mixture, without the air it is in."""

    id: str
    name: str
    parts: Mapping[str, Part]
    """Part of the vapour by gas id; there is a composition of exactly 100 % within them."""
    where: Where

    @property
    def ranged(self) -> bool:
        """Whether its composition is not one, but any within ranges."""
        return any(part.ranged for part in self.parts.values())


def read_mixtures(fields: Fields) -> tuple[Mixture, ...]:
    """The mixtures of one area; none where the key is missing."""
    made = fields.parts("mixtures", "mixture", _mixture, required=False)
    named = (Given(mixture.id, mixture.where, mixture.id) for mixture in made)
    fields.faults.refuse_twins(named, "mixture {!r} stands twice", "each id once an area")
    return made


def _mixture(fields: Fields) -> Mixture:
    identity = fields.text("id")
    if identity.value and not ID.fullmatch(identity.value):
        fields.faults.id_form(identity.where, f"id {identity.value!r}", "lower-case letters, digits and single hyphens")
    name = fields.text("name").value
    before = len(fields.faults.problems)
    parts = _parts(fields)
    if len(fields.faults.problems) == before:  # else a part may be a stand-in, and the sum means nothing
        _judge_sum(parts, identity, fields.faults)
    return Mixture(id=identity.value, name=name, parts=parts, where=identity.where)


def _parts(fields: Fields) -> dict[str, Part]:
    made: dict[str, Part] = {}
    for key, node in fields.by_reference("parts", "gas", required=True):
        if key.text == OXYGEN_GAS:
            allowed = "gases that burn, and inert ones; the limits hold in air and for no other oxygen"
            fields.faults.add(key.where, "oxygen in a mixture", allowed)
        elif isinstance(node, Scalar):
            one = quantity_of(node, ("%",), fields.faults, key.text, above=True)
            made[key.text] = Part(lowest=one, highest=one)
        else:
            made[key.text] = Fields(node, fields.faults, f"part {key.text!r}").wholly(_range)
    if len(made) > MOST_PARTS and any(part.ranged for part in made.values()):
        fields.faults.range(fields.where_of("parts"), f"ranges of {len(made)} parts", f"at most {MOST_PARTS} parts")
    return made


def _range(fields: Fields) -> Part:
    """A part that is known as a range, such as ``{from: 55 %, to: 70 %}``."""
    lowest, highest = fields.quantity("from", "%"), fields.quantity("to", "%", above=True)
    if magnitude(lowest.value, "%") > magnitude(highest.value, "%"):
        fields.faults.range(
            lowest.where, f"a part from {lowest.text} to {highest.text}", "from the lower to the higher"
        )
    return Part(lowest=lowest, highest=highest)


def _judge_sum(parts: Mapping[str, Part], identity: Given[str], faults: Faults) -> None:
    where = next(iter(parts.values())).lowest.where if parts else identity.where
    least = sum((magnitude(part.lowest.value, "%") for part in parts.values()), Fraction(0))
    most = sum((magnitude(part.highest.value, "%") for part in parts.values()), Fraction(0))
    if not least <= WHOLE <= most:
        told = f"{plain(least)} %" if least == most else f"{plain(least)} % at least and {plain(most)} % at most"
        faults.range(where, f"parts of {identity.value!r} that add up to {told}", "exactly 100 %")
