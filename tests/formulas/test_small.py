"""What is only small is not refused: the least that a formula takes is zero, or one where this file names why."""

from __future__ import annotations

import inspect
import re

import pytest

from builder.base.errors import OutOfRangeError
from builder.base.quantity import NUMBER, QuantityError, parse_quantity
from builder.figures.formulas.registry import formula_of
from tests.each import each
from tests.formulas.test_published import call, published

FROM_ONE = {
    "records is": "a count",
    "channels is": "a count",
    "count is": "a count",
    "levels is": "a count",
    "mixing factor is": "one means perfect mixing, by its definition",
    "molar mass is": "the lightest gas, hydrogen, has 2 g/mol (IUPAC)",
    "pressure is": "of air that somebody breathes; the summit of Everest has some 33 kPa, from memory",
}
"""How a refusal begins -> why its bound is one."""
AT_ONE = re.compile(r"allowed: (at least|above) 1( |$)")


def smaller(text, number):
    """A quantity of a fixture with another number and the same unit; ``None`` for what is none."""
    if not isinstance(text, str) or NUMBER.fullmatch(text):
        return number if isinstance(text, str) else None
    try:
        return f"{number} {parse_quantity(text)[1]}"
    except QuantityError:
        return None


def changed_arguments(text, number):
    """The argument with another number; of a list each part by itself."""
    if isinstance(text, list):
        made = [[*text[:at], smaller(part, number), *text[at + 1 :]] for at, part in enumerate(text)]
        return [one for one in made if None not in one]
    one = smaller(text, number)
    return [] if one is None else [one]


def cases():
    """One example of each formula and argument, with nothing and with a half in its place."""
    made = {}
    for case in published():
        group, row = case.values
        whole = {**group.get("given", {}), **row.get("given", {})}
        kinds = inspect.signature(formula_of(group["formula"]).function).parameters
        for name, text in whole.items():
            if str(kinds[name].annotation) not in ("Quantity", "Sequence[Quantity]", "Quantity | None"):
                continue
            for number in ("0", "0.5"):
                for changed in changed_arguments(text, number)[:1]:
                    made.setdefault((group["formula"], name, number), {**whole, name: changed})
    return [
        pytest.param(formula, given, id=f"{formula}: {name} {number}")
        for (formula, name, number), given in made.items()
    ]


def refusal(formula, given):
    """What a formula says to arguments that it refuses; nothing where it answers."""
    try:
        call(formula, given)
    except OutOfRangeError as fault:
        return str(fault)
    return ""


@each(("formula", "given"), cases())
def test_no_bound_stands_at_one_without_a_reason(formula, given):
    refused = refusal(formula, given)
    assert not AT_ONE.search(refused) or refused.startswith(tuple(FROM_ONE)), refused


def test_enough_of_them_are_tried():
    assert len(cases()) > 300
