"""The worst composition of a mixture of ranges, against linear programming of scipy and against a fine grid."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.base.errors import OutOfRangeError
from builder.base.quantity import magnitude, quantity
from builder.figures.formulas.flammability import mixture_lel
from builder.figures.formulas.ranges import largest_factor, lowest_total, most_explosive

LELS = (Fraction("4.4"), Fraction("2.4"), Fraction("1.7"), Fraction("1.4"))
"""Methane, ethane, propane, n-butane: IEC 60079-20-1:2010."""


def percents(values):
    return [quantity(value, "%") for value in values]


def ranges_of(parts, widths):
    """Ranges around a composition, which is therefore within them."""
    whole = sum(parts)
    exact = [Fraction(100 * part, whole) for part in parts]
    low = [max(Fraction(0), one - width) for one, width in zip(exact, widths, strict=True)]
    return low, [min(Fraction(100), one + width) for one, width in zip(exact, widths, strict=True)]


@settings(max_examples=40)
@given(st.lists(st.integers(1, 20), min_size=4, max_size=4), st.lists(st.integers(0, 30), min_size=4, max_size=4))
def test_the_lowest_explosive_limit_is_that_of_linear_programming(parts, widths):
    from scipy.optimize import linprog

    low, high = ranges_of(parts, widths)
    worst = most_explosive(percents(low), percents(high), [quantity(one, "%vol") for one in LELS])
    found = float(magnitude(mixture_lel(worst, [quantity(one, "%vol") for one in LELS]), "%vol"))
    outside = linprog(
        [-1 / float(one) for one in LELS],
        A_eq=[[1.0] * 4],
        b_eq=[100.0],
        bounds=[(float(a), float(b)) for a, b in zip(low, high, strict=True)],
    )
    assert outside.success
    assert found == pytest.approx(100 / -outside.fun, rel=1e-9)


@settings(max_examples=25)
@given(st.lists(st.integers(1, 9), min_size=3, max_size=3), st.lists(st.integers(0, 25), min_size=3, max_size=3))
def test_no_composition_of_a_grid_is_worse(parts, widths):
    low, high = ranges_of(parts, widths)
    lels, factors, limits = LELS[:3], (Fraction(1), None, Fraction(2)), (Fraction(500), Fraction(90), None)
    ends = percents(low), percents(high)
    seen = [None if one is None else quantity(one, "") for one in factors]
    factor = magnitude(largest_factor(*ends, seen, [quantity(one, "%vol") for one in lels]), "")
    total = magnitude(lowest_total(*ends, [None if one is None else quantity(one, "ppm") for one in limits]), "ppm")
    steps = range(11)
    for first, second in product(steps, steps):
        x = low[0] + (high[0] - low[0]) * first / 10
        y = low[1] + (high[1] - low[1]) * second / 10
        z = 100 - x - y
        if not low[2] <= z <= high[2]:
            continue
        strength = x / lels[0] + y / lels[1] + z / lels[2]
        signal = x / lels[0] + z / lels[2] / 2  # the second part is not seen
        assert strength / signal <= factor
        assert 100 / (x / 500 + y / 90) >= total


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [
        ([60, 50], [70, 60], "from 110 to 130 %"),
        ([10, 10], [40, 40], "from 20 to 80 %"),
        ([50, 20], [40, 60], "a lowest part above its highest"),
        ([0] * 9, [100] * 9, "9 parts"),
    ],
)
def test_ranges_without_a_composition_are_refused(low, high, told):
    with pytest.raises(OutOfRangeError, match=told):
        most_explosive(percents(low), percents(high), [quantity(2, "%vol")] * len(low))


def test_a_composition_that_the_sensor_may_not_see_at_all_has_no_factor():
    ends = percents([0, 20]), percents([80, 100])
    with pytest.raises(OutOfRangeError, match="sees nothing"):
        largest_factor(*ends, [quantity(1, ""), None])
