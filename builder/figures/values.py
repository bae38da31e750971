"""The values that formulas are asked with, and how a file keeps each of them exactly."""

import re
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any, TypeAlias

from builder.base.quantity import UNITS, Quantity, quantity
from builder.program.interval import Interval

Value: TypeAlias = Quantity | Fraction | int | str | date | Interval | tuple["Value", ...] | None
"""A quantity, a bare number, a count, yes or no, a text, a day, an interval, a list of these, or nothing."""


def json_value(value: Value) -> Any:
    """A value as plain JSON, numbers as rationals in text.

    >>> json_value(quantity("0.5", "L/min")), json_value(Fraction(1, 3)), json_value(date(2026, 11, 25))
    ({'number': '1/2', 'unit': 'L/min'}, {'number': '1/3'}, {'day': '2026-11-25'})
    """
    if value is None or isinstance(value, str | int):
        return value
    if isinstance(value, Fraction):
        return {"number": str(value)}
    if isinstance(value, date):
        return {"day": value.isoformat()}
    if isinstance(value, Interval):
        return {"count": value.count, "of": value.unit, "interval": value.text}
    if isinstance(value, tuple):
        return [json_value(part) for part in value]
    return {"number": str(value.magnitude), "unit": value.unit}


RATIONAL = re.compile(r"-?[0-9]+(/[0-9]+)?")


def rational_of(text: str) -> Fraction:
    """The number that ``str`` made of a rational; no other spelling, of which an exponent could be without end.

    :raises ValueError: for anything else.

    >>> rational_of("-1/3")
    Fraction(-1, 3)
    """
    if not RATIONAL.fullmatch(text):
        raise ValueError(f"{text[:40]!r} is no rational number as a builder writes it")
    return Fraction(text)


def value_of_json(told: Any) -> Value:
    """The value that ``json_value`` wrote.

    :raises ValueError: for anything it would not write.

    >>> value_of_json(json_value((date(2026, 11, 25), None, True, "H2S")))
    (datetime.date(2026, 11, 25), None, True, 'H2S')
    """
    if told is None or isinstance(told, str | int):
        return told
    if isinstance(told, list):
        return tuple(value_of_json(part) for part in told)
    match sorted(told) if isinstance(told, Mapping) else []:
        case ["number"]:
            return rational_of(told["number"])
        case ["number", "unit"] if told["unit"] in UNITS:
            return quantity(rational_of(told["number"]), told["unit"])
        case ["day"]:
            return date.fromisoformat(told["day"])
        case ["count", "interval", "of"]:
            return Interval(count=int(told["count"]), unit=str(told["of"]), text=str(told["interval"]))
        case _:
            raise ValueError(f"{told!r} is no value")
