"""The site's working days: which days count where an interval is asked for in working days."""

from datetime import date, timedelta

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.clock_times import zone_of
from builder.program.reading import Fields
from builder.program.values import day_of

WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
"""Days of the week as written; their place is the number Python gives them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """Everything of ``calendar.yaml``."""

    zone: Given[str]
    """Name of the site's time zone."""
    working_days: frozenset[int]
    """Days of the week, Monday is 0; never empty."""
    holidays: frozenset[date]
    where: Where

    def is_working(self, day: date) -> bool:
        """Whether the site works on that day."""
        return day.weekday() in self.working_days and day not in self.holidays

    def add_working_days(self, start: date, count: int) -> date:
        """The ``count``-th working day after ``start``; ``start`` itself for none.

        :raises OverflowError: when that lies beyond the last year there is.
        """
        day = start
        while count > 0:
            day += timedelta(days=1)
            count -= self.is_working(day)
        return day


def read_calendar(fields: Fields) -> Calendar:
    """``calendar.yaml``."""
    zone, faults = fields.text("zone"), fields.faults
    if zone.value:
        zone_of(zone, faults)
    days = fields.choices("working-days", WEEK, required=True)
    holidays = [day_of(scalar, faults, "holidays") for scalar in fields.scalars("holidays")]
    for what, names in (("working-days", days), ("holidays", holidays)):
        faults.refuse_twins(names, f"{{!r}} stands twice in {what!r}", "each day once")
    return Calendar(
        zone=zone,
        working_days=frozenset(WEEK.index(given.value) for given in days) or frozenset({0}),
        holidays=frozenset(given.value for given in holidays),
        where=fields.where,
    )
