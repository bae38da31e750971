"""Intervals of checks and reviews: calendar time, or before each day's use."""

from __future__ import annotations

import re
from dataclasses import dataclass

from builder.base.where import Given
from builder.program.reading import Faults

FORM = re.compile(r"([0-9]{1,4}) (day|week|month|year)s?")
EACH_DAY = "each day of use"


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """How long a check or a review holds."""

    count: int
    """How many of ``unit``; 0 for ``each day of use``."""
    unit: str
    """``day``, ``week``, ``month``, ``year`` or ``day-of-use``."""
    text: str
    """As a reader sees it."""

    @property
    def each_day_of_use(self) -> bool:
        """Whether the check is due before each day's use, whatever the calendar says."""
        return self.unit == "day-of-use"


def interval_of(given: Given[str], faults: Faults, *, use_days: bool = True) -> Given[Interval]:
    """The interval in a text such as ``180 days``, ``6 months`` or ``each day of use``."""
    if given.value == EACH_DAY and use_days:
        return given.becoming(Interval(count=0, unit="day-of-use", text=EACH_DAY))
    match = FORM.fullmatch(given.value)
    if not match or int(match.group(1)) == 0:
        if given.value:
            extra = f", or {EACH_DAY}" if use_days else ""
            faults.add(
                given.where, f"{given.value!r} is no interval", f"such as 14 days, 2 weeks, 6 months, 1 year{extra}"
            )
        return given.becoming(Interval(count=1, unit="day", text=given.value))
    return given.becoming(Interval(count=int(match.group(1)), unit=match.group(2), text=given.value))
