"""Contrast as WCAG 2.2 measures it: ratios that are known, and what is offered in place of a colour that fails."""

from __future__ import annotations

import pytest

from builder.base.contrast import LEAST, least_contrast, nearest_readable
from tests.each import each


@each(
    ("one", "other", "ratio"),
    [
        # The two greys on either side of 4.5:1 on white, and pure red and blue, as checkers of contrast give them
        # (4.54, 4.48, 4.00 and 8.59; from memory).
        ("#767676", "#ffffff", 4.54),
        ("#777777", "#ffffff", 4.48),
        ("#ff0000", "#ffffff", 4.00),
        ("#0000ff", "#ffffff", 8.59),
        ("#000000", "#ffffff", 21.0),
        ("#123456", "#123456", 1.0),
    ],
)
def test_known_ratios(one, other, ratio):
    assert least_contrast(one, (other,)) == pytest.approx(ratio, abs=0.005)
    assert least_contrast(one, (other,)) == least_contrast(other, (one,))


@pytest.mark.parametrize(
    ("colour", "grounds"),
    [("#ffcc00", ("#ffffff", "#f3ecdf")), ("#1d5560", ("#171614", "#23201c")), ("#808080", ("#ffffff",))],
)
def test_the_nearest_colour_passes_and_the_step_before_it_does_not(colour, grounds):
    near = nearest_readable(colour, grounds)
    assert least_contrast(near, grounds) >= LEAST > least_contrast(colour, grounds)
    a, b = (tuple(int(text[at : at + 2], 16) for at in (1, 3, 5)) for text in (colour, near))
    darker = all(x >= y for x, y in zip(a, b, strict=True))
    lighter = all(x <= y for x, y in zip(a, b, strict=True))
    assert darker or lighter, "mixed with black or white, so its hue stays"
    back = "#" + "".join(f"{y + (x > y) * 3 - (x < y) * 3:02x}" for x, y in zip(a, b, strict=True))
    assert least_contrast(back, grounds) < LEAST


def test_a_colour_that_passes_is_left():
    assert nearest_readable("#7a2e1d", ("#ffffff",)) == "#7a2e1d"
