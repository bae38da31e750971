"""Mixtures of gases or vapours that an area's air can hold, by their parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from builder.base.quantity import Quantity, magnitude
from builder.base.rounding import plain
from builder.base.where import Given, Where
from builder.load.nodes import Scalar
from builder.program.faults import Faults
from builder.program.reading import Fields
from builder.program.values import ID, quantity_of

OXYGEN_GAS = "oxygen"
WHOLE = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """One mixture, without the air it is in."""

    id: str
    name: str
    parts: Mapping[str, Given[Quantity]]
    """Part of the vapour by gas id, in percent of its volume; they add up to 100 %."""
    where: Where


def read_mixtures(fields: Fields) -> tuple[Mixture, ...]:
    """The mixtures of one area; none where the key is missing."""
    made: list[Mixture] = []
    for part in fields.records("mixtures", "mixture", required=False):
        mixture = _mixture(part)
        part.close()
        if mixture.id and any(earlier.id == mixture.id for earlier in made):
            part.faults.twice(mixture.where, f"mixture {mixture.id!r} stands twice", "each id once an area")
        made.append(mixture)
    return tuple(made)


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


def _parts(fields: Fields) -> dict[str, Given[Quantity]]:
    made: dict[str, Given[Quantity]] = {}
    for key, node in fields.pairs("parts", required=True):
        fields.faults.refer("gas", Given(key.text, key.where, key.text))
        if key.text == OXYGEN_GAS:
            allowed = "gases that burn, and inert ones; the limits hold in air and for no other oxygen"
            fields.faults.add(key.where, "oxygen in a mixture", allowed)
        elif isinstance(node, Scalar):
            made[key.text] = quantity_of(node, ("%",), fields.faults, key.text, above=True)
        else:
            fields.faults.shape(node.where, f"a collection for part {key.text!r}", "one quantity in %")
    return made


def _judge_sum(parts: Mapping[str, Given[Quantity]], identity: Given[str], faults: Faults) -> None:
    total = sum((magnitude(given.value, "%") for given in parts.values()), Fraction(0))
    if total != WHOLE:
        where = next(iter(parts.values())).where if parts else identity.where
        faults.range(where, f"parts of {identity.value!r} that add up to {plain(total)} %", "exactly 100 %")
