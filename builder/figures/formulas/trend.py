"""The straight line through readings, the scatter about it, and how far ahead both let one see.

Long lists of readings are plain rationals in the unit of the display, so that many sensors cost little.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.record import dataclass
from builder.figures.formulas.inputs import same_length

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
    return Trend(count=count, middle=middle, slope=slope, level=level, variance=left / (count - 2), spread=spread)


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
