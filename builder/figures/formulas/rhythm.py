"""Terms that no calendar alone tells: working days, days of use, and the later of two good checks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.clock import next_due
from builder.figures.formulas.registry import COMMON_PRACTICE, formula
from builder.program.interval import Interval

LONGEST = {"day": 1, "week": 7, "month": 31, "year": 366}
FEWEST = {"day": 1, "week": 7, "month": 28, "year": 365}
"""Most and fewest days that a unit of calendar time has."""


@formula(
    title="Day of the last good check",
    expression="last = later of the records and the inventory",
    source=COMMON_PRACTICE,
    valid="days on which the whole unit was shown good; one or more",
    rounding="exact",
)
def later_good(days: Sequence[date]) -> date:
    """The latest day on which a check was good.

    :param days: of good checks [date]
    :returns: the latest [date]

    >>> later_good([date(2026, 11, 2), date(2026, 11, 20)])
    datetime.date(2026, 11, 20)
    """
    if not days:
        raise OutOfRangeError("no day given", "one or more")
    return max(days)


@formula(
    id="rhythm.working-days",
    title="Last working day on which a check still holds",
    expression="due = the n-th working day after the last good check",
    source="the site's calendar",
    valid="as many working days after the last good check as are counted",
    rounding="exact",
)
def working_due(days: Sequence[date], every: Interval) -> date:
    """When a check falls due that is asked for in working days.

    :param days: working days after the last good check, in order [date]
    :param every: how many working days it holds [interval]
    :returns: last day on which it holds [date]

    >>> days = [date(2026, 11, 27), date(2026, 11, 30), date(2026, 12, 1)]
    >>> working_due(days, Interval(count=2, unit="working-day", text="2 working days"))
    datetime.date(2026, 11, 30)
    """
    if not 1 <= every.count <= len(days):
        raise OutOfRangeError(f"{every.count} of {len(days)} working days", f"1 to {len(days)}")
    return days[every.count - 1]


@formula(
    id="rhythm.days-of-use",
    title="Last day on which a check that counts days of use surely holds",
    expression="due = the n-th day of use; of those to come, one each day from today",
    source=COMMON_PRACTICE,
    valid="days of use since the last good check, that day's own use counted; use on every day to come is assumed",
    rounding="earlier: it is a term",
)
def use_due(last: date, every: Interval, days: Sequence[date], today: date) -> date:
    """When a check falls due that is asked for in days of use, if the unit is used every day from now on.

    :param last: day of the last good check [date]
    :param every: how many days of use it holds [interval]
    :param days: of use since the last good check [date]
    :param today: day of counting; one before the last good check counts as that day [date]
    :returns: last day on which it surely holds [date]

    >>> every = Interval(count=5, unit="day-of-use", text="5 days of use")
    >>> use_due(date(2026, 11, 20), every, [date(2026, 11, 20), date(2026, 11, 25)], date(2026, 11, 25))
    datetime.date(2026, 11, 28)
    """
    if every.count < 1:
        raise OutOfRangeError(f"{every.count} days of use", "1 or more")
    used, now = sorted(set(days)), max(today, last)
    if len(used) >= every.count:
        return used[every.count - 1]
    left = every.count - len(used)
    return now + timedelta(days=left if now in used else left - 1)


def due_of(
    every: Interval, last: date, days: Sequence[date] = (), working: Sequence[date] = (), today: date = date.min
) -> date:
    """When a check of that day runs out, whatever its interval counts.

    :param days: of use since that day, where days of use are counted.
    :param working: working days after it, where those are.
    """
    if every.each_day_of_use:
        return last
    if every.days_of_use:
        return use_due(last, every, days, today)
    return working_due(working, every) if every.unit == "working-day" else next_due(last, every)


@formula(
    title="Strictest of several intervals",
    expression="the interval that ends first after the last good check; of equal ones, or without such a check, the "
    "shortest (a month as 30.4375 days, a working day as 1.4)",
    source=COMMON_PRACTICE,
    valid="one interval or more; the days of use and working days that they count",
    rounding="earlier: it is a term",
)
def strictest_interval(
    intervals: Sequence[Interval],
    last: date | None = None,
    days: Sequence[date] = (),
    working: Sequence[date] = (),
    today: date = date.min,
) -> Interval:
    """Which of the intervals that law, manufacturer and site ask is to be kept.

    :param intervals: asked [interval]
    :param last: day of the last good check [date]
    :param days: of use since then [date]
    :param working: working days after it [date]
    :param today: day of counting [date]
    :returns: the strictest [interval]

    >>> asked = [Interval(count=6, unit="month", text="6 months"), Interval(count=182, unit="day", text="182 days")]
    >>> strictest_interval(asked, date(2026, 9, 1)).text, strictest_interval(asked, date(2026, 3, 1)).text
    ('6 months', '182 days')
    """
    if not intervals:
        raise OutOfRangeError("no interval given", "one or more")

    def rank(every: Interval) -> tuple[date, Fraction]:
        end = due_of(every, last, days, working, today) if last is not None else date.min
        return end, every.nominal_days

    return min(intervals, key=rank)


@formula(
    title="Days that the strictest of several intervals allows",
    expression="days = earliest end of the intervals − last good check, at least none",
    source="Gregorian calendar; the site's calendar for working days; " + COMMON_PRACTICE + " for days of use",
    valid="one interval or more; the days of use and working days that they count",
    rounding="exact",
)
def days_allowed(
    intervals: Sequence[Interval],
    last: date,
    days: Sequence[date] = (),
    working: Sequence[date] = (),
    today: date = date.min,
) -> Quantity:
    """How many days after a good check the next one must be made.

    :param intervals: asked [interval]
    :param last: day of the last good check [date]
    :param days: of use since then [date]
    :param working: working days after it [date]
    :param today: day of counting [date]
    :returns: whole number of days [days]

    >>> asked = [Interval(count=6, unit="month", text="6 months"), Interval(count=90, unit="day", text="90 days")]
    >>> days_allowed(asked, date(2026, 9, 1))
    Quantity(magnitude=Fraction(90, 1), unit='days')
    """
    if not intervals:
        raise OutOfRangeError("no interval given", "one or more")
    end = min(due_of(every, last, days, working, today) for every in intervals)
    return quantity(max((end - last).days, 0), "days")


@formula(
    title="Most days an interval can have",
    expression="days = count × 1, 7, 31 or 366",
    source="Gregorian calendar",
    valid="days, weeks, months or years",
    rounding="up: it is a time to wait for",
)
def longest_days(every: Interval) -> Quantity:
    """The most days that an interval in calendar time can have.

    :param every: interval [interval]
    :returns: whole number of days [days]

    >>> longest_days(Interval(count=2, unit="month", text="2 months"))
    Quantity(magnitude=Fraction(62, 1), unit='days')
    """
    return _days(every, LONGEST)


@formula(
    title="Days an interval always has",
    expression="days = count × 1, 7, 28 or 365",
    source="Gregorian calendar",
    valid="days, weeks, months or years",
    rounding="down: it is a term",
)
def fewest_days(every: Interval) -> Quantity:
    """The fewest days that an interval in calendar time can have.

    :param every: interval [interval]
    :returns: whole number of days [days]

    >>> fewest_days(Interval(count=2, unit="month", text="2 months"))
    Quantity(magnitude=Fraction(56, 1), unit='days')
    """
    return _days(every, FEWEST)


def _days(every: Interval, lengths: Mapping[str, int]) -> Quantity:
    if every.unit not in lengths:
        raise OutOfRangeError(f"interval of {every.text!r}", "days, weeks, months or years")
    return quantity(every.count * lengths[every.unit], "days")
