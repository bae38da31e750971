"""Whether the words for a value contradict it: a reader must be told of what the formula was asked with."""

import re
from datetime import date
from fractions import Fraction

from builder.base.quantity import Quantity, QuantityError, magnitude, parse_number, parse_quantity, same_dimension
from builder.base.rounding import plain
from builder.figures.figure import NO_BREAK_SPACE, day_text
from builder.figures.values import Value
from builder.program.interval import Interval

SIGN = re.compile(r"^[<>≤≥] ?")
"""The relation sign that stands before the number of a rule."""


def contradicts(text: str, value: Value) -> str:
    r"""What the text would have to say; empty where it says that, or where nothing can be told.

    A bare number beside a quantity and a list of values in one line cannot be judged.

    >>> contradicts("10 ppm", 3), contradicts("3", 3), contradicts("25 Nov 2026", date(2026, 11, 26))
    ('3', '', '26\xa0Nov\xa02026')
    """
    words = text.replace(NO_BREAK_SPACE, " ")
    if value is None or isinstance(value, tuple):
        return ""
    if isinstance(value, bool | int | str | Interval):
        expected = _words(value)
        return "" if words == expected else expected
    if isinstance(value, date):
        return _of_day(words, value)
    if isinstance(value, Fraction):
        return "" if _number(words) == value else plain(value)
    return _of_quantity(words, value)


def _words(value: bool | int | str | Interval) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value.text if isinstance(value, Interval) else str(value)


def _of_day(words: str, day: date) -> str:
    """A day may be written in any order, but its three numbers must stand there."""
    if re.match(r"\d{4}-\d{2}-\d{2}", words):
        return "" if words.startswith(day.isoformat()) else day.isoformat()
    if words == day_text(day).replace(NO_BREAK_SPACE, " "):
        return ""
    numbers = {int(number) for number in re.findall(r"[0-9]{1,4}", words)}
    named = {day.day, day.month} <= numbers and numbers & {day.year, day.year % 100}
    return "" if named else day_text(day)


def _of_quantity(words: str, value: Quantity) -> str:
    unit = value.unit
    expected = f"{plain(value.magnitude)}{NO_BREAK_SPACE}{unit}".strip()
    try:
        told, _ = parse_quantity(SIGN.sub("", words))
    except QuantityError:
        number = _number(words)
        return "" if number is None or unit or number == value.magnitude else expected
    return "" if same_dimension(told, unit) and magnitude(told, unit) == value.magnitude else expected


def _number(words: str) -> Fraction | None:
    try:
        return parse_number(words)
    except QuantityError:
        return None
