"""Figures that a card must not print: they change before the card is replaced."""

from collections.abc import Iterable
from typing import Final

from builder.base.where import Given
from builder.program.faults import Faults
from builder.program.keys import families as keyed
from builder.program.keys.family import Family
from builder.program.keys.unknown import MOVING

STALE: Final[tuple[Family, ...]] = (
    *MOVING, keyed.CYLINDER_PRESSURE, keyed.CYLINDER_MEASURED, keyed.CYLINDER_GAS_LEFT,
)  # fmt: skip
"""Stock, and days that move with every check: wrong on a laminated card as soon as the next test is done."""


def refuse_stale(quoted: Iterable[Given[str]], faults: Faults) -> None:
    """Note every key of such a figure that the prose of a card names."""
    for given in quoted:
        if any(family.read(given.value) for family in STALE):
            allowed = "figures that hold as long as the card; pages and log sheets print this one"
            faults.add(given.where, f"{given.text} on a card, where it goes stale", allowed)
