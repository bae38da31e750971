"""Which days an interval counts after a good check, and how many such intervals were kept."""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from itertools import pairwise

from builder.base.record import dataclass
from builder.figures.formulas import rhythm
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import UnitLog
from builder.program.checks import Check
from builder.program.interval import Interval
from builder.program.inventory import Unit
from builder.program.program import Program


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedDays:
    """What intervals count from one good check on, as far as they ask for it."""

    use: tuple[date, ...] = ()
    """Days of use since then, that day's own use among them; every day where no use is recorded anywhere."""
    working: tuple[date, ...] = ()
    """Working days after it."""
    today: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Rhythm:
    """A program and its records, as far as they tell when a check runs out."""

    program: Program
    book: Logbook
    as_of: date

    def use_days(self, unit: Unit) -> Sequence[date]:
        """Recorded days of use of a unit, in order."""
        return self.book.units[unit.id].use_days if unit.id in self.book.units else ()

    def counted(self, unit: Unit, intervals: Iterable[Interval], last: date) -> CountedDays:
        """The days that these intervals count after a good check of a unit on ``last``."""
        asked = tuple(intervals)
        working = max((every.count for every in asked if every.unit == "working-day"), default=0)
        by_use = any(every.days_of_use for every in asked)
        return CountedDays(
            use=self._use(unit, last) if by_use else (), working=self._working(last, working), today=self.as_of
        )

    def _use(self, unit: Unit, last: date) -> tuple[date, ...]:
        if self.book.counts_use:
            days = self.use_days(unit)
            return tuple(days[bisect_left(days, last) :])
        return tuple(last + timedelta(days=n) for n in range(max((self.as_of - last).days, 0) + 1))

    def _working(self, last: date, count: int) -> tuple[date, ...]:
        calendar = self.program.calendar
        made: list[date] = []
        for _ in range(count):
            day = made[-1] if made else last
            made.append(calendar.add_working_days(day, 1) if calendar else day + timedelta(days=1))
        return tuple(made)

    def due(self, unit: Unit, every: Interval, last: date) -> date:
        """The last day on which a check of a unit on ``last`` still holds."""
        counted = self.counted(unit, (every,), last)
        return rhythm.due_of(every, last, counted.use, counted.working, counted.today)

    def kept(self, unit: Unit, check: Check, log: UnitLog) -> Iterator[tuple[date, bool]]:
        """Each day of use, and whether it had its check; or each check, and whether it came in time."""
        intervals = [asked.interval.value for asked in check.asked_of(unit)]
        good = sorted(set(log.good_days[check.what]))
        if any(every.each_day_of_use for every in intervals):
            done = set(good)
            yield from ((day, day in done) for day in log.use_days[bisect_left(log.use_days, good[0]) :])
            return
        ends = [every for every in intervals if not every.days_of_use]
        for earlier, later in pairwise(good) if ends else ():
            yield later, later <= min(self.due(unit, every, earlier) for every in ends)

    def is_late(self, unit: Unit, check: Check, log: UnitLog) -> bool:
        """Whether the last good check has run out; of a check before each day's use the days of use tell that."""
        intervals = [asked.interval.value for asked in check.asked_of(unit)]
        if not intervals or any(every.each_day_of_use for every in intervals):
            return False
        ends = [every for every in intervals if not every.days_of_use]
        last = max(log.good_days[check.what])
        return bool(ends) and min(self.due(unit, every, last) for every in ends) < self.as_of
