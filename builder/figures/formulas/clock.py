"""Dates that fall due, and times that run out."""

from __future__ import annotations

import calendar
import math
from collections.abc import Sequence
from datetime import MAXYEAR, date, timedelta
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.inputs import amount, kind_of, logarithm, optional
from builder.figures.formulas.registry import COMMON_PRACTICE, formula
from builder.program.interval import Interval

MONTHS_A_YEAR = 12
ROOM = 20
"""Temperature, in °C, at which runtimes are stated."""


def _months_later(start: date, count: int) -> date:
    """The same day of a later month, or the last day of that month where it is shorter."""
    years, month = divmod(start.month - 1 + count, MONTHS_A_YEAR)
    year = start.year + years
    if year > MAXYEAR:
        raise OutOfRangeError(f"due in the year {year}", f"up to {MAXYEAR}")
    return date(year, month + 1, min(start.day, calendar.monthrange(year, month + 1)[1]))


@formula(
    title="Last day on which a check still holds",
    expression="due = last + interval; in months and years the same day, or the last of a shorter month",
    source="Gregorian calendar; " + COMMON_PRACTICE + " for the shorter month",
    valid="1 or more days, weeks, months or years, counted from the day of the last good check",
    rounding="earlier: a shorter month ends the interval, it never runs into the next",
)
def next_due(last: date, every: Interval) -> date:
    """When the next check falls due.

    :param last: day of the last good check [date]
    :param every: interval in calendar time [interval]
    :returns: last day of the interval [date]

    >>> next_due(date(2027, 1, 31), Interval(count=1, unit="month", text="1 month"))
    datetime.date(2027, 2, 28)
    """
    if every.count < 1 or not every.by_calendar:
        raise OutOfRangeError(f"interval of {every.text!r}", "1 or more days, weeks, months or years")
    if every.unit in ("month", "year"):
        return _months_later(last, every.count * (MONTHS_A_YEAR if every.unit == "year" else 1))
    try:
        return last + timedelta(days=every.count * (7 if every.unit == "week" else 1))
    except OverflowError as error:
        raise OutOfRangeError(f"due {every.text} after {last}", f"up to the year {MAXYEAR}") from error


@formula(
    title="Days until a date",
    expression="days = due − today",
    source="Gregorian calendar",
    valid="any two dates; below zero it is overdue",
    rounding="exact",
)
def days_left(due: date, today: date) -> Quantity:
    """Whole days from today until a date is due; 0 on the day itself.

    :param due: last day of the interval [date]
    :param today: day of counting [date]
    :returns: days, negative when overdue [days]

    >>> days_left(date(2028, 3, 1), date(2028, 2, 28))
    Quantity(magnitude=Fraction(2, 1), unit='days')
    """
    return quantity((due - today).days, "days")


@formula(
    title="Time from the last movement to help",
    expression="total = motionless + warning (+ response)",
    source=COMMON_PRACTICE,
    valid="times as set in the instrument, above zero together",
    rounding="up: someone lies there meanwhile",
)
def lone_worker_total(motionless: Quantity, warning: Quantity, response: Quantity | None = None) -> Quantity:
    """How long a person can lie still before the alarm goes out, or before help is there.

    :param motionless: time without movement until the warning [s]
    :param warning: time in which the wearer can cancel it [s]
    :param response: time until help is there, none when left out [s or min]
    :returns: total [s]

    >>> lone_worker_total(quantity(60, "s"), quantity(30, "s"))
    Quantity(magnitude=Fraction(90, 1), unit='s')
    """
    total = amount(motionless, "s", "motionless time", above=0) + amount(warning, "s", "warning time", low=0)
    return quantity(total + amount(optional(response, "s"), "s", "response time", low=0), "s")


@formula(
    title="The longest of what is asked",
    expression="longest of the times",
    source=COMMON_PRACTICE,
    valid="times for one thing, asked by several",
    rounding="up: it is waited",
)
def longest(times: Sequence[Quantity]) -> Quantity:
    """How long something lasts for which several ask a time of their own.

    :param times: that each asks [min or h]
    :returns: the longest [min]

    >>> longest([quantity(30, "min"), quantity(1, "h")])
    Quantity(magnitude=Fraction(60, 1), unit='min')
    """
    if not times:
        raise OutOfRangeError("no time given", "one or more")
    return quantity(max(amount(one, "min", "time", above=0) for one in times), "min")


@formula(
    title="A time as hours and minutes",
    expression="hours = ⌊time / 60 min⌋; minutes = the rest, in whole minutes up",
    source="definition of the hour",
    valid="above zero",
    rounding="up to whole minutes: it is waited",
)
def by_the_clock(time: Quantity) -> tuple[Quantity, Quantity]:
    """What is added to the time on a clock to know when something ends.

    :param time: that it lasts [min]
    :returns: whole hours, and the minutes beyond them [h or min]

    >>> by_the_clock(quantity(75, "min"))[1]
    Quantity(magnitude=Fraction(15, 1), unit='min')
    """
    hours, minutes = divmod(math.ceil(amount(time, "min", "time", above=0)), 60)
    return quantity(hours, "h"), quantity(minutes, "min")


@formula(
    title="Hours a data log can hold",
    expression="hours = records × interval / channels",
    source=COMMON_PRACTICE,
    valid="each record holds one channel; take 1 channel where a record holds all of them",
    rounding="down: it is capacity",
)
def log_capacity(records: Quantity, interval: Quantity, channels: Quantity) -> Quantity:
    """How long the log runs before it overwrites itself.

    :param records: the memory holds [1]
    :param interval: between records [s]
    :param channels: that are logged, one record each [1]
    :returns: time [h]

    >>> log_capacity(quantity(36000, ""), quantity(60, "s"), quantity(4, ""))
    Quantity(magnitude=Fraction(150, 1), unit='h')
    """
    total = amount(records, "", "records", low=1) * amount(interval, "h", "interval", above=0)
    return quantity(total / amount(channels, "", "channels", low=1), "h")


@formula(
    title="Hours left in a data log",
    expression="left = capacity − hours used since the download",
    source=COMMON_PRACTICE,
    valid="log emptied at the download; at zero the oldest entries are being lost",
    rounding="down: it is stock",
)
def log_hours_left(capacity: Quantity, used: Quantity) -> Quantity:
    """How long the log still runs before it overwrites what was not downloaded; 0 once it does.

    :param capacity: of the log [h]
    :param used: running time since the last download [h]
    :returns: time left [h]

    >>> log_hours_left(quantity(200, "h"), quantity(84, "h"))
    Quantity(magnitude=Fraction(116, 1), unit='h')
    """
    left = amount(capacity, "h", "capacity", above=0) - amount(used, "h", "hours used", low=0)
    return quantity(max(left, Fraction(0)), "h")


@formula(
    title="Days until a data log is full",
    expression="days = ⌊capacity / longest shift⌋",
    source=COMMON_PRACTICE,
    valid="log emptied before the first day; one shift of full length each day",
    rounding="down to whole days: it is stock",
)
def log_days(capacity: Quantity, shift: Quantity) -> Quantity:
    """How many days of work a log holds before it overwrites itself.

    :param capacity: of the log [h]
    :param shift: longest shift [h]
    :returns: days [days]

    >>> log_days(quantity(100, "h"), quantity(12, "h"))
    Quantity(magnitude=Fraction(8, 1), unit='days')
    """
    return quantity(amount(capacity, "h", "capacity", above=0) // amount(shift, "h", "shift", above=0), "days")


@formula(
    title="Runtime left at the end of a shift",
    expression="margin = runtime − shift",
    source=COMMON_PRACTICE,
    valid="runtime at the coldest place, with pump and alarms as used, of a battery of that age",
    rounding="down: it is a margin",
)
def runtime_margin(runtime: Quantity, shift: Quantity) -> Quantity:
    """How much longer the battery lasts than it must; below zero it does not last.

    :param runtime: of the battery in use [h]
    :param shift: longest shift [h]
    :returns: margin, negative when too short [h]

    >>> runtime_margin(quantity(14, "h"), quantity(12, "h"))
    Quantity(magnitude=Fraction(2, 1), unit='h')
    """
    return quantity(amount(runtime, "h", "runtime", low=0) - amount(shift, "h", "shift", above=0), "h")


@formula(
    title="Battery runtime at a temperature",
    expression="runtime at 20 °C, falling on a straight line to that at the lowest working temperature",
    source=COMMON_PRACTICE + "; both ends are the manual's",
    valid="lowest working temperature below 20 °C; above 20 °C as at 20 °C, below the lowest as there",
    rounding="down: it is stock",
)
def runtime_in_cold(runtime: Quantity, at_coldest: Quantity, coldest: Quantity, temperature: Quantity) -> Quantity:
    """How long a battery lasts where it is colder than in the room it was measured in.

    :param runtime: at 20 °C or warmer [h]
    :param at_coldest: at the lowest working temperature [h]
    :param coldest: lowest working temperature [°C]
    :param temperature: of the place [°C]
    :returns: runtime there [h]

    >>> cold, place = quantity(-20, "°C"), quantity(0, "°C")
    >>> runtime_in_cold(quantity(14, "h"), quantity(8, "h"), cold, place)
    Quantity(magnitude=Fraction(11, 1), unit='h')
    """
    low = amount(coldest, "°C", "lowest working temperature", below=ROOM)
    here = min(max(amount(temperature, "°C", "temperature"), low), Fraction(ROOM))
    warm, cold = amount(runtime, "h", "runtime", above=0), amount(at_coldest, "h", "runtime in the cold", above=0)
    return quantity(cold + (warm - cold) * (here - low) / (ROOM - low), "h")


@formula(
    title="Time to air a space out",
    expression="t = (V / Q) × K × ln(C0 / C)",
    source="dilution of a well-mixed space, as in NFPA 69 and the ACGIH ventilation manual (first-order decay)",
    valid="source stopped, clean supply air, constant flow; mixing factor 1 (perfect) to 10; C0 at least C, above zero",
    rounding="up: it makes one wait; then test, the time proves nothing",
    read=False,
)
def purge_time(volume: Quantity, flow: Quantity, mixing: Quantity, start: Quantity, target: Quantity) -> Quantity:
    """How long to ventilate before the concentration has fallen to a target.

    :param volume: of the space [m3]
    :param flow: of clean air [m3/h]
    :param mixing: factor, 1 for perfect mixing [1]
    :param start: concentration at the start [%LEL, %vol, ppm or mg/m3]
    :param target: concentration to reach [%LEL, %vol, ppm or mg/m3]
    :returns: time [min]

    >>> levels = quantity(100, "%LEL"), quantity(1, "%LEL")
    >>> time = purge_time(quantity(50, "m3"), quantity(600, "m3/h"), quantity(1, ""), *levels)
    >>> round(float(time.magnitude), 1)
    23.0
    """
    unit = kind_of(target)
    goal = amount(target, unit, "target", above=0)
    ratio = amount(start, unit, "concentration at the start", low=goal) / goal
    changes = amount(mixing, "", "mixing factor", low=1, high=10) * logarithm(ratio)
    hours = amount(volume, "m3", "volume", above=0) / amount(flow, "m3/h", "flow", above=0)
    return quantity(hours * changes * 60, "min")
