"""Terms that no calendar alone tells: working days, days of use, and the later of two good checks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from builder.base.errors import OutOfRangeError
from builder.figures.formulas.registry import COMMON_PRACTICE, formula


@formula(
    id="rhythm.later-good",
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
def working_due(days: Sequence[date], count: int) -> date:
    """When a check falls due that is asked for in working days.

    :param days: working days after the last good check, in order [date]
    :param count: how many of them it holds [1]
    :returns: last day on which it holds [date]

    >>> working_due([date(2026, 11, 27), date(2026, 11, 30), date(2026, 12, 1)], 2)
    datetime.date(2026, 11, 30)
    """
    if not 1 <= count <= len(days):
        raise OutOfRangeError(f"{count} of {len(days)} working days", f"1 to {len(days)}")
    return days[count - 1]


@formula(
    id="rhythm.days-of-use",
    title="Last day on which a check that counts days of use surely holds",
    expression="due = the n-th day of use; of those to come, one each day from today",
    source=COMMON_PRACTICE,
    valid="days of use since the last good check, that day's own use counted; use on every day to come is assumed",
    rounding="earlier: it is a term",
)
def use_due(days: Sequence[date], count: int, today: date) -> date:
    """When a check falls due that is asked for in days of use, if the unit is used every day from now on.

    :param days: of use since the last good check [date]
    :param count: how many of them it holds [1]
    :param today: day of counting [date]
    :returns: last day on which it surely holds [date]

    >>> use_due([date(2026, 11, 20), date(2026, 11, 25)], 5, date(2026, 11, 25))
    datetime.date(2026, 11, 28)
    """
    if count < 1:
        raise OutOfRangeError(f"{count} days of use", "1 or more")
    used = sorted(set(days))
    if len(used) >= count:
        return used[count - 1]
    left = count - len(used)
    return today + timedelta(days=left if today in used else left - 1)
