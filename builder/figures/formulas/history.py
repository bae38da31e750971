"""What as-found readings teach: drift, where the next reading will lie, how long an interval they support."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.inputs import amount, kind_of, same_length
from builder.figures.formulas.registry import COMMON_PRACTICE, formula
from builder.figures.formulas.trend import control_chart, trend

INTERVALS = "named in ILAC-G24:2022 / OIML D 10, clauses 5 and 6; the rule is stated here in full"
LEAST_SQUARES = "ordinary least squares, as in any textbook of statistics"


def _errors(found: Sequence[Quantity], left: Sequence[Quantity], expected: Sequence[Quantity]) -> list[Fraction]:
    """Each reading less its expected display and less all adjustments made before it."""
    if not found:
        raise OutOfRangeError("no reading given", "one or more")
    points = expected if len(expected) > 1 else [*expected] * len(found)
    same_length(found, left, "as found and as left")
    same_length(found, points, "readings and expected displays")
    unit, adjusted, errors = kind_of(found[0]), Fraction(0), []
    for before, after, point in zip(found, left, points, strict=True):
        reading = amount(before, unit, "as found")
        errors.append(reading - amount(point, unit, "expected display") - adjusted)
        adjusted += amount(after, unit, "as left") - reading
    return errors


def _elapsed(days: Sequence[date]) -> list[Fraction]:
    return [Fraction((day - days[0]).days) for day in days]


@formula(
    id="history.trend",
    title="Drift per day from as-found errors",
    expression="slope = Σ(d − d̄)(e − ē) / Σ(d − d̄)²; e = as found − expected display − adjustments before it",
    source=LEAST_SQUARES,
    valid="3 or more readings on 2 or more days",
    rounding="away from zero: the drift is not to be made small",
)
def drift(
    days: Sequence[date], found: Sequence[Quantity], left: Sequence[Quantity], expected: Sequence[Quantity]
) -> Quantity:
    """Slope of the line through the errors as they would be had nobody ever adjusted the sensor.

    :param days: of the readings, in order [date]
    :param found: readings before adjustment [%LEL, %vol, ppm or mg/m3]
    :param left: readings after it; as found where nothing was adjusted [%LEL, %vol, ppm or mg/m3]
    :param expected: expected display of each, or one for all [%LEL, %vol, ppm or mg/m3]
    :returns: change in one day [%LEL, %vol, ppm or mg/m3]

    >>> days = [date(2026, 1, 1), date(2026, 1, 11), date(2026, 1, 21)]
    >>> found = [quantity(number, "ppm") for number in (25, 26, 26)]
    >>> left = [quantity(number, "ppm") for number in (25, 25, 26)]
    >>> drift(days, found, left, [quantity(25, "ppm")])
    Quantity(magnitude=Fraction(1, 10), unit='ppm')
    """
    errors = _errors(found, left, expected)
    return quantity(trend(_elapsed(days), errors).slope, kind_of(found[0]))


@formula(
    id="history.control-chart",
    title="Interval that drift and scatter support",
    expression="longest whole T with |drift| × T + h(last day + T) ≤ tolerance, h half the prediction band",
    source="control chart method, " + INTERVALS,
    valid="3 or more readings on 2 or more days; sensor set right at the start; steady drift; up to 3660 days",
    rounding="down to whole days: it is an interval",
    read=False,
)
def steady_interval(
    days: Sequence[date],
    found: Sequence[Quantity],
    left: Sequence[Quantity],
    expected: Sequence[Quantity],
    tolerance: Quantity,
) -> Quantity:
    """Longest interval at whose end the next reading will still pass, by the drift and the scatter of all readings.

    :param days: of the readings, in order [date]
    :param found: readings before adjustment [%LEL, %vol, ppm or mg/m3]
    :param left: readings after it; as found where nothing was adjusted [%LEL, %vol, ppm or mg/m3]
    :param expected: expected display of each, or one for all [%LEL, %vol, ppm or mg/m3]
    :param tolerance: permitted error, above zero [%LEL, %vol, ppm or mg/m3]
    :returns: interval [days]

    >>> days = [date(2026, 1, 1), date(2026, 4, 1), date(2026, 6, 30)]
    >>> found = [quantity(number, "ppm") for number in (25, 26, 27)]
    >>> steady_interval(days, found, found, [quantity(25, "ppm")], quantity(3, "ppm"))
    Quantity(magnitude=Fraction(270, 1), unit='days')
    """
    errors = _errors(found, left, expected)
    permitted = amount(tolerance, kind_of(found[0]), "tolerance", above=0)
    return quantity(control_chart(_elapsed(days), errors, permitted), "days")


@formula(
    title="Error of a reading as found",
    expression="error = as found − expected display",
    source="definition",
    valid="as found before any adjustment",
    rounding="away from zero: the error is not to be made small",
)
def as_found_error(found: Quantity, expected: Quantity) -> Quantity:
    """How far a reading was off before adjustment.

    :param found: reading [%LEL, %vol, ppm or mg/m3]
    :param expected: expected display [%LEL, %vol, ppm or mg/m3]
    :returns: error, below zero where it read low [%LEL, %vol, ppm or mg/m3]

    >>> as_found_error(quantity(23, "ppm"), quantity(25, "ppm"))
    Quantity(magnitude=Fraction(-2, 1), unit='ppm')
    """
    unit = kind_of(expected)
    return quantity(amount(found, unit, "as found") - amount(expected, unit, "expected display"), unit)


@formula(
    title="Interval moved one step by the last as-found error",
    expression="error ≤ 80 % of tolerance after at least 80 % of the interval: × 5/4; error over tolerance: ½ × the "
    "shorter of interval and days run; else unchanged",
    source="staircase (automatic adjustment) method, " + INTERVALS,
    valid="error as found, before any adjustment; the sizes of the two steps are this builder's own choice",
    rounding="down to whole days: it is an interval",
    read=False,
)
def staircase(interval: Quantity, run: Quantity, error: Quantity, tolerance: Quantity) -> Quantity:
    """The interval after the last check: longer by a quarter, the same, or half.

    An error of at most 80 % of the tolerance lengthens the interval by a quarter, but only when the sensor had run for
    at least 80 % of the interval, since a check made early proves little; an error of more than the tolerance halves
    the shorter of the interval and the days really run; anything between leaves the interval as it is.

    :param interval: in force [days]
    :param run: since the last adjustment [days]
    :param error: as found, of either sign [%LEL, %vol, ppm or mg/m3]
    :param tolerance: permitted [%LEL, %vol, ppm or mg/m3]
    :returns: next interval [days]

    >>> limits = quantity(-3, "ppm"), quantity(2, "ppm")
    >>> staircase(quantity(180, "days"), quantity(170, "days"), *limits)
    Quantity(magnitude=Fraction(85, 1), unit='days')
    """
    unit = kind_of(tolerance)
    now, ran = amount(interval, "days", "interval", above=0), amount(run, "days", "days run", low=0)
    part = abs(amount(error, unit, "error")) / amount(tolerance, unit, "tolerance", above=0)
    if part > 1:
        return quantity(math.floor(min(now, ran) / 2), "days")
    longer = part <= Fraction(4, 5) and ran >= now * Fraction(4, 5)
    return quantity(math.floor(now * Fraction(5, 4) if longer else now), "days")


@formula(
    title="Recommended interval within policy",
    expression="interval = smallest of (larger of found and least), most, and what law, manufacturer and area allow",
    source=COMMON_PRACTICE,
    valid="bounds the site sets; no history lengthens what law, manual or area policy asks",
    rounding="down to whole days: it is an interval",
)
def bounded(found: Quantity, least: Quantity, most: Quantity, allowed: Quantity | None = None) -> Quantity:
    """What history recommends, never outside policy and never longer than anyone else allows.

    :param found: by the method [days]
    :param least: bound of the site [days]
    :param most: bound of the site [days]
    :param allowed: shortest that law, manufacturer or area policy ask; none where they ask nothing [days]
    :returns: recommended interval [days]

    >>> bounded(*(quantity(n, "days") for n in (225, 30, 365, 180)))
    Quantity(magnitude=Fraction(180, 1), unit='days')
    """
    days, lowest, *highest = (
        amount(value, "days", "interval", low=0) for value in (found, least, most, allowed) if value is not None
    )
    return quantity(math.floor(min(max(days, lowest), *highest)), "days")


@formula(
    title="Checks done on time",
    expression="rate = 100 % × on time / all, with n = all",
    source=COMMON_PRACTICE,
    valid="1 or more intervals between good checks, or days of use, that records show",
    rounding="down: it is a mark of merit",
)
def on_time(kept: Quantity, count: Quantity) -> Quantity:
    """The share of intervals that were kept.

    :param kept: intervals that ended on or before their last day [1]
    :param count: all intervals [1]
    :returns: share [%]

    >>> on_time(quantity(1, ""), quantity(1, ""))
    Quantity(magnitude=Fraction(100, 1), unit='%')
    """
    whole = amount(count, "", "count", low=1)
    return quantity(100 * amount(kept, "", "kept", low=0, high=whole) / whole, "%")
