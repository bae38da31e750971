"""Intervals of checks and reviews: calendar time, working days, days of use, or before each day's use."""

import re
from fractions import Fraction

from builder.base.record import dataclass
from builder.base.where import Given
from builder.program.faults import Faults

FORM = re.compile(r"([0-9]{1,4}) (day|week|month|year)s?")
COUNTED = re.compile(r"([0-9]{1,4}) (?:(working) days?|days? (of use))")
EACH_DAY = "each day of use"
NOMINAL = {
    "day": Fraction(1),
    "day-of-use": Fraction(1),
    "working-day": Fraction(7, 5),
    "week": Fraction(7),
    "month": Fraction(1461, 48),
    "year": Fraction(1461, 4),
}
"""Days a unit stands for when two intervals are compared without a date to count from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """How long a check or a review holds."""

    count: int
    """How many of ``unit``; 0 for ``each day of use``."""
    unit: str
    """``day``, ``week``, ``month``, ``year``, ``working-day`` or ``day-of-use``."""
    text: str
    """As a reader sees it."""

    @property
    def each_day_of_use(self) -> bool:
        """Whether the check is due before each day's use, whatever the calendar says."""
        return self.unit == "day-of-use" and self.count == 0

    @property
    def days_of_use(self) -> bool:
        """Whether it runs out after a number of days of use."""
        return self.unit == "day-of-use" and self.count > 0

    @property
    def by_calendar(self) -> bool:
        """Whether a date alone says when it runs out."""
        return self.unit in ("day", "week", "month", "year")

    @property
    def nominal_days(self) -> Fraction:
        """About how many days it lasts, to tell the stricter of two; a day of use counts as a day."""
        return self.count * NOMINAL[self.unit]


def interval_of(given: Given[str], faults: Faults, *, use_days: bool = True) -> Given[Interval]:
    """The interval in a text such as ``180 days``, ``6 months``, ``20 working days`` or ``each day of use``.

    :param use_days: whether days of use and working days may be counted too (checks), or the calendar only.
    """
    if given.value == EACH_DAY and use_days:
        return given.becoming(Interval(count=0, unit="day-of-use", text=EACH_DAY))
    match = FORM.fullmatch(given.value)
    counted = COUNTED.fullmatch(given.value) if use_days else None
    if counted and int(counted.group(1)) > 0:
        unit = "working-day" if counted.group(2) else "day-of-use"
        return given.becoming(Interval(count=int(counted.group(1)), unit=unit, text=given.value))
    if not match or int(match.group(1)) == 0:
        if given.value:
            extra = f", 20 working days, 30 days of use, or {EACH_DAY}" if use_days else ""
            faults.time(
                given.where, f"{given.value!r} is no interval", f"such as 14 days, 2 weeks, 6 months, 1 year{extra}"
            )
        return given.becoming(Interval(count=1, unit="day", text=given.value))
    return given.becoming(Interval(count=int(match.group(1)), unit=match.group(2), text=given.value))
