"""Every figure of the demo, read back from its text: on the side its rounding states, and within one step."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from tests.conftest import DAY, DEMO
from tests.shared import judged_once

SPACES = str.maketrans({"\u202f": "", "\u00a0": " ", "\N{MINUS SIGN}": "-"})


def test_every_printed_number_lies_on_its_stated_side_within_one_step():
    ledger = judged_once(DEMO, DAY).ledger
    sides = {"up": 0, "down": 0, "nearest": 0}
    for figure in ledger:
        if figure.rounding is None or isinstance(figure.exact, date):
            continue
        text = figure.text.translate(SPACES)
        if text.startswith("over "):
            assert figure.exact > Fraction(text.removeprefix("over ")), figure.key
            continue
        off = Fraction(text) - figure.exact
        step = figure.rounding.step_for(figure.exact)
        side = figure.rounding.direction.value
        good = {"up": 0 <= off < step, "down": -step < off <= 0, "nearest": abs(off) <= step / 2}[side]
        assert good, (figure.key, figure.text, figure.exact)
        sides[side] += 1
    assert min(sides.values()) > 100, sides
