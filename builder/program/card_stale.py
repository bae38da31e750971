"""Figures that a card must not print: they change before the card is replaced."""

from collections.abc import Iterable
from typing import Final

from builder.base.where import Given
from builder.program.faults import Faults
from builder.program.keys import families
from builder.program.keys.family import Family

STALE: Final[tuple[Family, ...]] = (
    families.CYLINDER_PRESSURE,
    families.CYLINDER_MEASURED,
    families.CYLINDER_GAS_LEFT,
    families.CYLINDER_GAS_USED,
    families.CYLINDER_GAS_NOW,
    families.CYLINDER_TESTS_LEFT,
    families.CYLINDER_TESTS_A_DAY,
    families.CYLINDER_RUNS_OUT,
    families.CYLINDER_USABLE_UNTIL,
    families.CYLINDER_REORDER_BY,
    families.UNIT_LAST,
    families.UNIT_DUE,
    families.RECORD_DAY,
)
"""Stock, and days that move with every check: wrong on a laminated card as soon as the next test is done."""


def refuse_stale(quoted: Iterable[Given[str]], faults: Faults) -> None:
    """Note every key of such a figure that the prose of a card names."""
    for given in quoted:
        if any(family.read(given.value) for family in STALE):
            allowed = "figures that hold as long as the card; pages and log sheets print this one"
            faults.add(given.where, f"{given.text} on a card, where it goes stale", allowed)
