"""What a unit leaves over: memory between downloads, loudness above noise, and seconds until somebody knows."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.inputs import amount
from builder.figures.formulas.registry import COMMON_PRACTICE, formula
from builder.program.interval import Interval

DAYS = {"day": 1, "week": 7, "month": 31, "year": 366}
"""The most days that an interval can have."""


@formula(
    title="Hours that a data log holds beyond what can pass between downloads",
    expression="margin = capacity − days between downloads × longest shift",
    source=COMMON_PRACTICE,
    valid="one shift of full length on every day; a month counts as 31 days and a year as 366",
    rounding="down: it is a margin",
)
def log_margin(capacity: Quantity, every: Interval, shift: Quantity) -> Quantity:
    """What is left of a log at a download; below zero the oldest or the newest hours are lost.

    :param capacity: of the log [h]
    :param every: time between downloads [interval]
    :param shift: longest shift [h]
    :returns: margin, negative when hours are lost [h]

    >>> weekly = Interval(count=7, unit="day", text="7 days")
    >>> log_margin(quantity(100, "h"), weekly, quantity(8, "h"))
    Quantity(magnitude=Fraction(44, 1), unit='h')
    """
    if not every.by_calendar:
        raise OutOfRangeError(f"downloads {every.text}", "days, weeks, months or years")
    needed = every.count * DAYS[every.unit] * amount(shift, "h", "shift", above=0)
    return quantity(amount(capacity, "h", "capacity", above=0) - needed, "h")


@formula(
    title="How far an alarm stands out of the noise",
    expression="margin = level of the alarm − level of the noise",
    source="difference of levels; ISO 7731 asks for 15 dB of A-weighted level alone, recalled and not read",
    valid="both in dB(A), the alarm as its manual states it at its distance; ear plugs and a coat take from it",
    rounding="down: it is a margin",
    read=False,
)
def loudness_margin(alarm: Quantity, noise: Quantity) -> Quantity:
    """Difference of two sound levels.

    :param alarm: level of the alarm [dB(A)]
    :param noise: level of the noise [dB(A)]
    :returns: margin, negative when the noise is louder [dB(A)]

    >>> loudness_margin(quantity(95, "dB(A)"), quantity(82, "dB(A)"))
    Quantity(magnitude=Fraction(13, 1), unit='dB(A)')
    """
    return quantity(amount(alarm, "dB(A)", "alarm", low=0) - amount(noise, "dB(A)", "noise", low=0), "dB(A)")


@formula(
    title="Time until somebody knows, or until help is there",
    expression="time = sum of all that passes one after the other",
    source=COMMON_PRACTICE,
    valid="times that follow one another, each at its longest",
    rounding="up: someone lies there meanwhile",
)
def known_after(times: Sequence[Quantity]) -> Quantity:
    """How long it takes from the last movement until an alarm is known, or until help has come.

    :param times: that follow one another [s, min or h]
    :returns: their sum [s]

    >>> known_after([quantity(45, "s"), quantity(15, "s"), quantity(2, "min")])
    Quantity(magnitude=Fraction(180, 1), unit='s')
    """
    if not times:
        raise OutOfRangeError("no time", "one or more")
    return quantity(sum((amount(one, "s", "time", low=0) for one in times), Fraction(0)), "s")
