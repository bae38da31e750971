"""What as-found readings teach: drift, where the next reading will lie, how long an interval they support.

Long lists of readings are plain rationals in the unit of the display, so that many sensors cost little.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.inputs import amount, kind_of, power, same_length
from builder.figures.formulas.registry import COMMON_PRACTICE, formula

INTERVALS = "named in ILAC-G24:2022 / OIML D 10, clauses 5 and 6; the rule is stated here in full"
LEAST_SQUARES = "ordinary least squares, as in any textbook of statistics"
FEWEST = 3
"""Readings below which a line says nothing of its own scatter."""
LONGEST = 3660
"""Days beyond which no history is carried forward."""
STUDENT = (
    "12.706 4.303 3.182 2.776 2.571 2.447 2.365 2.306 2.262 2.228 2.201 2.179 2.160 2.145 2.131 2.120 2.110 2.101 "
    "2.093 2.086 2.080 2.074 2.069 2.064 2.060 2.056 2.052 2.048 2.045 2.042"
)
"""Two-sided 95 % points of Student's t for 1 to 30 degrees of freedom, as every table prints them."""
_STUDENT = tuple(Fraction(text) for text in STUDENT.split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """A straight line through readings, and how far they scatter about it; all exact."""

    count: int
    middle: Fraction
    """Mean day."""
    slope: Fraction
    """Change in one day."""
    level: Fraction
    """Value of the line on the mean day."""
    variance: Fraction
    """Of the residuals, with two degrees of freedom spent."""
    spread: Fraction
    """Sum of the squared distances of the days from their mean."""

    def at(self, day: Fraction) -> Fraction:
        """Value of the line on a day."""
        return self.level + self.slope * (day - self.middle)

    def band_squared(self, day: Fraction) -> Fraction:
        """Half the width of the prediction band on a day, squared, so that it stays exact."""
        away = (day - self.middle) ** 2 / self.spread
        return student_t(self.count - 2) ** 2 * self.variance * (1 + Fraction(1, self.count) + away)


@formula(
    id="history.student-t",
    title="Two-sided 95 % point of Student's t",
    expression="t(0.975, degrees of freedom), to three decimals; above 30 that of 30",
    source="Student's t distribution, as tabulated in any textbook of statistics",
    valid="1 or more degrees of freedom",
    rounding="as tabulated; above 30 degrees the wider value of 30",
)
def student_t(degrees: int) -> Fraction:
    """How many standard deviations hold 95 % of what a small sample predicts.

    :param degrees: of freedom [1]
    :returns: factor [1]

    >>> student_t(4)
    Fraction(347, 125)
    """
    if degrees < 1:
        raise OutOfRangeError(f"{degrees} degrees of freedom", "1 or more")
    return _STUDENT[min(degrees, len(_STUDENT)) - 1]


@formula(
    id="history.trend",
    title="Drift per day from as-found errors",
    expression="slope = Σ(d − d̄)(e − ē) / Σ(d − d̄)²",
    source=LEAST_SQUARES,
    valid="3 or more readings on 2 or more days; adjustments made meanwhile taken out of the errors first",
    rounding="away from zero: the drift is not to be made small",
)
def trend(elapsed: Sequence[Fraction], errors: Sequence[Fraction]) -> Trend:
    """The straight line through errors against days; its slope is the drift in one day.

    :param elapsed: days since any fixed day, one a reading [days]
    :param errors: reading less expected display, less all earlier adjustments [all the same]
    :returns: line and scatter [the same]

    >>> line = trend([Fraction(0), Fraction(10), Fraction(20)], [Fraction(0), Fraction(1), Fraction(2)])
    >>> line.slope, line.variance
    (Fraction(1, 10), Fraction(0, 1))
    """
    same_length(elapsed, errors, "days and errors")
    count = len(elapsed)
    if count < FEWEST or len(set(elapsed)) == 1:
        raise OutOfRangeError(f"{count} readings on {len(set(elapsed))} days", "3 or more on 2 or more days")
    middle, level = sum(elapsed, Fraction(0)) / count, sum(errors, Fraction(0)) / count
    spread = sum(((day - middle) ** 2 for day in elapsed), Fraction(0))
    pairs = list(zip(elapsed, errors, strict=True))
    slope = sum(((day - middle) * (error - level) for day, error in pairs), Fraction(0)) / spread
    left = sum(((error - level - slope * (day - middle)) ** 2 for day, error in pairs), Fraction(0))
    return Trend(
        count=count, middle=middle, slope=slope, level=level, variance=left / (count - 2), spread=spread
    )  # fmt: skip


@formula(
    id="history.prediction-band",
    title="Half width of the band in which the next reading lies",
    expression="h = t × s × √(1 + 1/n + (d − d̄)² / Σ(d − d̄)²), t for 95 % and n − 2 degrees of freedom",
    source=LEAST_SQUARES,
    valid="3 or more readings; errors that scatter alike on all days",
    rounding="up: the band is not to be made narrow",
)
def prediction_band(elapsed: Sequence[Fraction], errors: Sequence[Fraction], day: Fraction) -> Fraction:
    """How far from the line the next single reading may lie, with 95 % probability.

    :param elapsed: days since any fixed day, one a reading [days]
    :param errors: as for the trend [all the same]
    :param day: of the next reading, counted alike [days]
    :returns: half the width of the band [the same]

    >>> band = prediction_band([Fraction(n) for n in range(4)], [Fraction(n) for n in (0, 1, 0, 1)], Fraction(4))
    >>> round(float(band), 3)
    4.303
    """
    squared = trend(elapsed, errors).band_squared(day)
    return power(squared, Fraction(1, 2)) if squared else Fraction(0)


@formula(
    id="history.control-chart",
    title="Interval that drift and scatter support",
    expression="longest whole T with |drift| × T + h(last day + T) ≤ tolerance, h half the prediction band",
    source="control chart method, " + INTERVALS,
    valid="3 or more readings; sensor set right at the start of the interval; steady drift; up to 3660 days",
    rounding="down to whole days: it is an interval",
    read=False,
)
def control_chart(elapsed: Sequence[Fraction], errors: Sequence[Fraction], tolerance: Fraction) -> int:
    """For how many days after an adjustment the next as-found reading stays in tolerance, with 95 % probability.

    The drift is that of the line through all readings, the scatter that about the line; a reading is predicted for
    T days after the last one, starting right. 0 when the scatter alone is more than the tolerance.

    :param elapsed: days since any fixed day, one a reading [days]
    :param errors: as for the trend [all the same]
    :param tolerance: permitted error, above zero [the same]
    :returns: interval [days]

    >>> control_chart([Fraction(0), Fraction(90), Fraction(180)], [Fraction(0), Fraction(1), Fraction(2)], Fraction(3))
    270
    """
    line = trend(elapsed, errors)
    last, drift = max(elapsed), abs(line.slope)

    def holds(days: int) -> bool:
        room = tolerance - drift * days
        return room >= 0 and room**2 >= line.band_squared(last + days)

    if not holds(0):
        return 0
    low, high = 0, LONGEST
    while low < high:
        half = (low + high + 1) // 2
        low, high = (half, high) if holds(half) else (low, half - 1)
    return low


@formula(
    id="history.staircase",
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

    >>> from builder.base.quantity import magnitude
    >>> limits = quantity(-3, "ppm"), quantity(2, "ppm")
    >>> magnitude(staircase(quantity(180, "days"), quantity(170, "days"), *limits), "days")
    Fraction(85, 1)
    """
    unit = kind_of(tolerance)
    now, ran = amount(interval, "days", "interval", above=0), amount(run, "days", "days run", low=0)
    part = abs(amount(error, unit, "error")) / amount(tolerance, unit, "tolerance", above=0)
    if part > 1:
        return quantity(math.floor(min(now, ran) / 2), "days")
    longer = part <= Fraction(4, 5) and ran >= now * Fraction(4, 5)
    return quantity(math.floor(now * Fraction(5, 4) if longer else now), "days")


@formula(
    id="history.bounded",
    title="Recommended interval within policy",
    expression="interval = smallest of (larger of found and least), most, and what law, manufacturer and area allow",
    source=COMMON_PRACTICE,
    valid="bounds the site sets; no history lengthens what law, manual or area policy asks",
    rounding="down to whole days: it is an interval",
)
def bounded(found: Quantity, least: Quantity, most: Quantity, allowed: Quantity) -> Quantity:
    """What history recommends, never outside policy and never longer than anyone else allows.

    :param found: by the method [days]
    :param least: bound of the site [days]
    :param most: bound of the site [days]
    :param allowed: shortest that law, manufacturer or area policy ask [days]
    :returns: recommended interval [days]

    >>> from builder.base.quantity import magnitude
    >>> magnitude(bounded(*(quantity(n, "days") for n in (225, 30, 365, 180))), "days")
    Fraction(180, 1)
    """
    days = [amount(value, "days", "interval", low=0) for value in (found, least, most, allowed)]
    return quantity(math.floor(min(max(days[0], days[1]), days[2], days[3])), "days")


@formula(
    id="history.on-time",
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

    >>> from builder.base.quantity import magnitude
    >>> magnitude(on_time(quantity(1, ""), quantity(1, "")), "%")
    Fraction(100, 1)
    """
    whole = amount(count, "", "count", low=1)
    return quantity(100 * amount(kept, "", "kept", low=0, high=whole) / whole, "%")
