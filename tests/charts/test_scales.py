"""Axes count as people do, hold every value, and labels along them keep apart."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.render.scales import Scale, linear_ticks, log_ticks, spread, step_of

POSITIVE = st.fractions(min_value=Fraction(1, 1000), max_value=Fraction(10**7), max_denominator=1000)


@given(st.lists(POSITIVE, min_size=1, max_size=5), st.integers(min_value=2, max_value=12))
def test_straight_ticks_start_at_zero_hold_all_values_and_step_by_1_2_or_5(values, most):
    ticks = [tick.value for tick in linear_ticks(values, most)]
    assert ticks[0] == 0
    assert ticks[-1] >= max(values)
    assert ticks[-2] < max(values)
    steps = {after - before for before, after in pairwise(ticks)}
    assert len(steps) == 1
    step = steps.pop()
    digits = f"{float(step):e}".split("e")[0].rstrip("0").rstrip(".")
    assert digits in {"1", "2", "5"}
    assert len(ticks) - 1 <= most


@given(st.lists(POSITIVE, min_size=1, max_size=5), st.integers(min_value=2, max_value=12))
def test_straight_ticks_of_a_zoomed_axis_begin_and_end_where_the_values_do(values, most):
    ticks = [tick.value for tick in linear_ticks(values, most, zoomed=True)]
    assert ticks[0] <= min(values) < ticks[1]
    assert ticks[-2] < max(values) <= ticks[-1] or ticks[-1] - ticks[-2] > max(values) - min(values)
    assert len(ticks) - 1 <= most + 1


@given(st.lists(POSITIVE, min_size=1, max_size=5), st.integers(min_value=2, max_value=20))
def test_logarithmic_ticks_hold_all_values_and_rise(values, most):
    ticks = log_ticks(values, most)
    marks = [tick.value for tick in ticks]
    assert marks[0] <= min(values)
    assert marks[-1] >= max(values)
    assert len(marks) > 1
    assert all(before < after for before, after in pairwise(marks))


def test_ticks_of_a_wide_logarithmic_axis_bear_numbers_at_whole_decades_only():
    ticks = log_ticks([Fraction(2), Fraction(90000)], 8)
    assert [tick.text for tick in ticks if tick.text] == ["1", "10", "100", "1000", "10\u202f000", "100\u202f000"]
    assert len(ticks) == 16


def test_thousands_are_grouped():
    assert [tick.text for tick in linear_ticks([Fraction(50000)], 5)][-1] == "50\u202f000"


def test_a_decade_takes_the_same_way_anywhere_on_a_logarithmic_axis():
    scale = Scale(Fraction(1), Fraction(1000), 0, 90, log=True)
    places = [scale.at(Fraction(value)) for value in (1, 10, 100, 1000)]
    assert places == pytest.approx([0, 30, 60, 90])
    # log10 of 2 is 0.30103 by any table of logarithms
    assert scale.at(Fraction(2)) == pytest.approx(30 * 0.30103, abs=1e-4)
    assert scale.at(Fraction(20)) - scale.at(Fraction(10)) == pytest.approx(30 * math.log10(2))


def test_the_step_is_the_least_that_leaves_few_enough_parts():
    assert step_of(Fraction(16), 8) == 2
    assert step_of(Fraction(17), 8) == 5
    assert step_of(Fraction("0.9"), 5) == Fraction("0.2")


@given(
    st.lists(st.tuples(st.floats(0, 100), st.floats(1, 8)), min_size=1, max_size=10),
)
def test_labels_keep_apart_in_order_and_inside_when_there_is_room(pairs):
    wanted, heights = [w for w, _ in pairs], [h for _, h in pairs]
    placed = spread(wanted, heights, 0, 100)
    rows = sorted(zip(placed, heights, wanted, strict=True))
    for (upper, tall, _), (lower, height, _) in pairwise(rows):
        assert lower - height / 2 >= upper + tall / 2 - 1e-6
    assert [row[2] for row in rows] == sorted(wanted)
    assert rows[0][0] - rows[0][1] / 2 >= -1e-6
    assert rows[-1][0] + rows[-1][1] / 2 <= 100 + 1e-6


def test_a_label_with_room_stands_where_it_is_wanted():
    assert spread([20, 50, 80], [4, 4, 4], 0, 100) == [20, 50, 80]
