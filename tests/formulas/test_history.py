"""Trends against numpy and scipy, Student's t against scipy, and the interval methods worked by hand."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.base.errors import OutOfRangeError
from builder.base.quantity import magnitude, quantity
from builder.figures.formulas import history, life, rhythm, trend
from builder.figures.formulas.inputs import power
from builder.program.interval import Interval
from tests.each import each


@pytest.fixture(scope="module")
def stats():
    """Loaded by the worker that asks for it alone, since loading takes most of a second."""
    from scipy import stats

    return stats


DAYS = st.lists(st.integers(0, 2000), min_size=3, max_size=12, unique=True)


def fractions(values):
    return [Fraction(str(value)) for value in values]


def band_of(days, errors, ahead):
    """Half the width of the prediction band some days after the last reading."""
    squared = trend.trend(fractions(days), fractions(errors)).band_squared(Fraction(max(days) + ahead))
    return power(squared, Fraction(1, 2)) if squared else Fraction(0)


@each("degrees", range(1, 31))
def test_student_t_is_that_of_scipy(degrees, stats):
    assert float(trend.student_t(degrees)) == pytest.approx(stats.t.ppf(0.975, degrees), abs=5.1e-4)


@pytest.mark.parametrize("degrees", [31, 60, 1000])
def test_above_thirty_degrees_the_wider_value_is_taken(degrees, stats):
    assert trend.student_t(degrees) == trend.student_t(30) > stats.t.ppf(0.975, degrees)


@given(days=DAYS, data=st.data())
@settings(max_examples=50)
def test_the_line_is_that_of_scipy(stats, days, data):
    errors = data.draw(st.lists(st.integers(-50, 50), min_size=len(days), max_size=len(days)))
    line = trend.trend(fractions(days), fractions(errors))
    other = stats.linregress(days, errors)
    assert float(line.slope) == pytest.approx(other.slope, rel=1e-9, abs=1e-9)
    assert float(line.at(Fraction(0))) == pytest.approx(other.intercept, rel=1e-9, abs=1e-7)


@given(days=DAYS, ahead=st.integers(0, 500), data=st.data())
@settings(max_examples=50)
def test_the_band_is_the_textbook_one_by_matrices(stats, days, ahead, data):
    """numpy: variance of a prediction is s² (1 + x' (X'X)⁻¹ x), as in Draper and Smith, Applied regression analysis."""
    errors = data.draw(st.lists(st.integers(-50, 50), min_size=len(days), max_size=len(days)))
    centre = np.mean(days)
    design = np.column_stack([np.ones(len(days)), np.array(days, dtype=float) - centre])
    fitted, *_ = np.linalg.lstsq(design, np.array(errors, dtype=float), rcond=None)
    left = np.array(errors) - design @ fitted
    variance = left @ left / (len(days) - 2)
    point = np.array([1.0, max(days) + ahead - centre])
    half = stats.t.ppf(0.975, len(days) - 2) * np.sqrt(
        variance * (1 + point @ np.linalg.inv(design.T @ design) @ point)
    )
    found = band_of(days, errors, ahead)
    assert float(found) == pytest.approx(half, rel=1e-3, abs=1e-6)


@given(days=DAYS, tolerance=st.integers(1, 60), data=st.data())
@settings(max_examples=30)
def test_the_control_chart_interval_is_the_last_day_that_holds(days, tolerance, data):
    """Day by day, with the line of scipy and the textbook band."""
    errors = data.draw(st.lists(st.integers(-10, 10), min_size=len(days), max_size=len(days)))
    found = trend.control_chart(fractions(days), fractions(errors), Fraction(tolerance))
    line = trend.trend(fractions(days), fractions(errors))

    def margin(ahead):
        band = band_of(days, errors, ahead)
        return tolerance - abs(line.slope) * ahead - band

    if found:
        assert margin(found) >= 0
    if found < trend.LONGEST:
        assert margin(found + (1 if found or margin(0) >= 0 else 0)) < 0


def test_a_line_without_scatter_lasts_until_the_drift_is_the_tolerance():
    """1 in 90 days, exactly: 5 is reached after 450 days."""
    assert trend.control_chart(fractions([0, 90, 180]), fractions([0, 1, 2]), Fraction(5)) == 450


def test_scatter_alone_can_be_too_much():
    assert trend.control_chart(fractions([0, 10, 20]), fractions([0, 5, 0]), Fraction(1)) == 0


@each(
    ("interval", "run", "error", "expected"),
    [
        # The rule of the docstring, by hand, with a tolerance of 5 %LEL: 80 % of it is 4, 80 % of 180 days is 144.
        (180, 180, "4", 225),
        (180, 144, "-4", 225),
        (180, 143, "4", 180),
        (180, 180, "4.1", 180),
        (180, 180, "-5", 180),
        (180, 180, "5.1", 90),
        (180, 100, "-5.1", 50),
        (180, 400, "6", 90),
        (45, 45, "0", 56),
        (1, 1, "9", 0),
    ],
)
def test_staircase(interval, run, error, expected):
    found = history.staircase(
        quantity(interval, "days"), quantity(run, "days"), quantity(error, "%LEL"), quantity(5, "%LEL")
    )
    assert magnitude(found, "days") == expected


@each(
    ("found", "least", "most", "allowed", "expected"),
    [
        (225, 30, 365, 180, 180),  # never longer than law or manufacturer
        (225, 30, 200, 400, 200),  # nor than the site's own bound
        (10, 30, 200, 400, 30),
        (0, 30, 200, 14, 14),  # law is stricter than the least the site wants
        (100, 30, 200, 400, 100),
    ],
)
def test_bounds(found, least, most, allowed, expected):
    made = history.bounded(*(quantity(days, "days") for days in (found, least, most, allowed)))
    assert magnitude(made, "days") == expected


@pytest.mark.parametrize(
    ("days", "errors"), [([0, 1], [0, 0]), ([5, 5, 5], [0, 1, 2]), ([0, 1, 2], [0, 1])], ids=["two", "one day", "pairs"]
)
def test_too_little_is_refused(days, errors):
    with pytest.raises(OutOfRangeError):
        trend.trend(fractions(days), fractions(errors))


def test_span():
    """0.9 × 0.95 × 1.0 is 0.855; of 100 % lost 14.5 in 365 days, 35.5 more last 893.6 days."""
    found = [quantity(number, "ppm") for number in ("45", "38", "60")]
    before = [quantity(number, "ppm") for number in ("50", "40", "60")]
    left = life.span_left(found, before)
    assert magnitude(left, "%") == Fraction("85.5")
    end = life.span_end(date(2025, 1, 1), date(2026, 1, 1), left, quantity(50, "%"))
    assert (end - date(2026, 1, 1)).days == 893


def test_bounds_where_law_and_manufacturer_ask_nothing():
    found, least, most = (quantity(days, "days") for days in (225, 30, 200))
    assert magnitude(history.bounded(found, least, most), "days") == 200


@pytest.mark.parametrize(
    ("last", "strictest"),
    [
        # On a wall calendar: 6 months from 1 September are 181 days, from 1 March 184; before either, without a day to
        # count from, a month counts 30.4375 days, so that 6 months are more than 182 days.
        (date(2026, 9, 1), "6 months"),
        (date(2026, 3, 1), "182 days"),
        (None, "182 days"),
    ],
)
def test_the_strictest_interval_is_the_one_that_ends_first(last, strictest):
    asked = [
        Interval(count=6, unit="month", text="6 months"),
        Interval(count=182, unit="day", text="182 days"),
        Interval(count=1, unit="year", text="1 year"),
    ]
    assert rhythm.strictest_interval(asked, last).text == strictest


def test_on_time_is_rounded_by_no_one_here():
    assert magnitude(history.on_time(quantity(2, ""), quantity(3, "")), "%") == Fraction(200, 3)
    with pytest.raises(OutOfRangeError):
        history.on_time(quantity(1, ""), quantity(0, ""))


@each(
    ("used", "count", "expected"),
    [
        # Today is 25 November 2026; counted on a wall calendar.
        ([], 1, date(2026, 11, 25)),
        ([], 3, date(2026, 11, 27)),
        ([date(2026, 11, 25)], 3, date(2026, 11, 27)),
        ([date(2026, 11, 1), date(2026, 11, 9), date(2026, 11, 11)], 3, date(2026, 11, 11)),
        ([date(2026, 11, 1), date(2026, 11, 9), date(2026, 11, 11)], 2, date(2026, 11, 9)),
        ([date(2026, 11, 9), date(2026, 11, 9)], 2, date(2026, 11, 25)),
    ],
)
def test_days_of_use(used, count, expected):
    every = Interval(count=count, unit="day-of-use", text=f"{count} days of use")
    assert rhythm.use_due(date(2026, 11, 1), every, used, date(2026, 11, 25)) == expected
