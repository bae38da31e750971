"""Molecular formulas and the molar masses that follow from the standard atomic weights."""

import re
from collections import Counter
from fractions import Fraction
from functools import cache
from typing import Final

from builder.base.nearest import nearest
from builder.reference.errors import UnknownNameError
from builder.reference.tables import read_table

ATOMIC_WEIGHTS: Final = "ciaaw-atomic-weights-2021"
"""Table of the atomic weights in use."""

_TOKEN: Final = re.compile(r"(?P<element>[A-Z][a-z]?)(?P<count>\d*)|(?P<open>\()|\)(?P<times>\d*)")


class FormulaError(ValueError):
    """A text is no molecular formula."""


def parse_formula(text: str) -> dict[str, int]:
    """How many atoms of each element a molecule has, elements in order of first appearance.

    :raises FormulaError: when the text is no formula; counts are whole numbers from 1 up, parentheses pair.

    >>> parse_formula("CH3(CH2)2CH3")
    {'C': 4, 'H': 10}
    """
    levels: list[Counter[str]] = [Counter()]
    position = 0
    while position < len(text):
        match = _TOKEN.match(text, position)
        if not match:
            raise FormulaError(f"{text!r} is no molecular formula: {text[position:]!r} cannot be read")
        position = match.end()
        if match["element"]:
            levels[-1][match["element"]] += _count(text, match["count"])
        elif match["open"]:
            levels.append(Counter())
        else:
            _close(text, levels, _count(text, match["times"]))
    if len(levels) != 1 or not levels[0]:
        raise FormulaError(f"{text!r} is no molecular formula: it is empty or a parenthesis is left open")
    return dict(levels[0])


def _close(text: str, levels: list[Counter[str]], times: int) -> None:
    if len(levels) == 1 or not levels[-1]:
        raise FormulaError(f"{text!r} is no molecular formula: a parenthesis is empty or was never opened")
    inner = levels.pop()
    for element, count in inner.items():
        levels[-1][element] += count * times


def _count(text: str, digits: str) -> int:
    if digits.startswith("0"):
        raise FormulaError(f"{text!r} is no molecular formula: the count {digits!r} is not from 1 up")
    return int(digits) if digits else 1


def atomic_weight(symbol: str) -> Fraction:
    """Standard atomic weight in g/mol, exactly as the table prints it (the abridged value where nature varies).

    :raises UnknownNameError: when the table does not have the element.
    """
    table = read_table(ATOMIC_WEIGHTS)
    text = table.text(symbol, "atomic_weight_g_mol")
    if not text:
        raise UnknownNameError("element", symbol, nearest(symbol, table.rows))
    return Fraction(text)


@cache
def molar_mass(formula: str) -> Fraction:
    """Molar mass in g/mol: the sum of count × standard atomic weight.

    :raises FormulaError: when the text is no formula.
    :raises UnknownNameError: when an element has no weight in the table.

    >>> float(molar_mass("CH4"))
    16.043
    """
    return sum((count * atomic_weight(element) for element, count in parse_formula(formula).items()), Fraction(0))


def is_paraffin(formula: str) -> bool:
    """Whether a molecule is a paraffin, the only kind the law for warm gas is used for.

    >>> is_paraffin("C3H8"), is_paraffin("C3H6"), is_paraffin("H2")
    (True, False, False)
    """
    atoms = parse_formula(formula)
    return set(atoms) == {"C", "H"} and atoms["H"] == 2 * atoms["C"] + 2
