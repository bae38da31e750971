"""Exact quantities, the units that they are told in, and the spellings of units that authors and readers see.

Magnitudes are exact rationals. A volume fraction (``%vol``, ``ppm``) and a share of the lower explosive limit
(``%LEL``) are dimensions of their own, so neither can pass for a plain percentage or for the other.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from typing import NamedTuple

from builder.base.nearest import nearest
from builder.base.record import dataclass


class Unit(NamedTuple):
    """What a unit is made of; the tests hold each against a library of units."""

    dimension: str
    """Only units of the same dimension are converted."""
    size: Fraction
    """How many of the unit that all others of its dimension are told in."""
    zero: Fraction = Fraction(0)
    """Where its scale begins, in that unit."""


def _unit(dimension: str, size: str, zero: str = "0") -> Unit:
    return Unit(dimension, Fraction(size), Fraction(zero))


UNITS: dict[str, Unit] = {
    "%LEL": _unit("share of the lower explosive limit", "1"),
    "%vol": _unit("volume fraction", "1e-2"),
    "ppm": _unit("volume fraction", "1e-6"),
    "ppb": _unit("volume fraction", "1e-9"),
    "mg/m3": _unit("mass in a volume", "1e-3"),
    "g/m3": _unit("mass in a volume", "1"),
    "%": _unit("number", "1e-2"),
    "": _unit("number", "1"),
    "s": _unit("time", "1"),
    "min": _unit("time", "60"),
    "h": _unit("time", "3600"),
    "days": _unit("time", "86400"),
    "L/min": _unit("flow", "1/60000"),
    "mL/min": _unit("flow", "1/60000000"),
    "m3/h": _unit("flow", "1/3600"),
    "mm": _unit("length", "1e-3"),
    "cm": _unit("length", "1e-2"),
    "m": _unit("length", "1"),
    "ft": _unit("length", "0.3048"),
    "mL": _unit("volume", "1e-6"),
    "L": _unit("volume", "1e-3"),
    "m3": _unit("volume", "1"),
    "m/s": _unit("speed", "1"),
    "m/min": _unit("speed", "1/60"),
    "s/m": _unit("time for a length", "1"),
    "kPa": _unit("pressure", "1000"),
    "hPa": _unit("pressure", "100"),
    "Pa": _unit("pressure", "1"),
    "bar": _unit("pressure", "100000"),
    "mmHg": _unit("pressure", "133.322387415"),
    "°C": _unit("temperature", "1", zero="273.15"),
    "K": _unit("temperature", "1"),
    "eV": _unit("energy", "1.602176634e-19"),
    "g/mol": _unit("mass of a mole", "1"),
    "L/mol": _unit("volume of a mole", "1"),
    "kJ/mol": _unit("energy of a mole", "1"),
    "cm2/s": _unit("spread", "1"),
    "dB(A)": _unit("loudness", "1"),
    "kg": _unit("mass", "1000"),
    "g": _unit("mass", "1"),
}
"""Unit as written -> what it is. The first spelling of a dimension is the one printed."""

ALSO_WRITTEN: dict[str, str] = {
    "% LEL": "%LEL",
    "%LFL": "%LEL",
    "%v/v": "%vol",
    "% vol": "%vol",
    "vol%": "%vol",
    "mg/m³": "mg/m3",
    "g/m³": "g/m3",
    "m³": "m3",
    "m³/h": "m3/h",
    "l/min": "L/min",
    "ml/min": "mL/min",
    "ml": "mL",
    "l": "L",
    "sec": "s",
    "hours": "h",
    "hour": "h",
    "day": "days",
    "minutes": "min",
    "minute": "min",
    "seconds": "s",
    "second": "s",
    "degC": "°C",
}
"""Other spellings accepted from authors; never printed."""

PRINTED_UNITS: dict[str, str] = {"mg/m3": "mg/m³", "g/m3": "g/m³", "m3": "m³", "m3/h": "m³/h", "cm2/s": "cm²/s"}
"""Spellings with typographic exponents, where print differs from data."""

NUMBER = re.compile(r"[+\-−]?[0-9]{1,40}(?:\.[0-9]{1,40})?(?:[eE][+\-]?[0-9]{1,2})?")
"""A decimal number; lengths are bounded, so that no text can ask for a number that fills the memory."""


class QuantityError(ValueError):
    """A text is no quantity; ``allowed`` and ``nearest`` help to mend it."""

    def __init__(self, found: str, allowed: str, close: tuple[str, ...] = ()) -> None:
        self.found = found
        self.allowed = allowed
        self.nearest = close
        super().__init__(f"{found}; allowed: {allowed}")

    def __reduce__(self) -> tuple[type[QuantityError], tuple[str, str, tuple[str, ...]]]:
        return (type(self), (self.found, self.allowed, self.nearest))


class DimensionError(TypeError):
    """A quantity cannot be told in a unit, since that measures something else."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """An exact number of a unit. Only those told in the same unit are equal; all of a dimension are compared and added.

    What is compared or added raises ``DimensionError`` when the dimensions differ.
    """

    magnitude: Fraction
    unit: str
    """Spelling of ``UNITS``."""

    @property
    def dimension(self) -> str:
        """What it measures."""
        return UNITS[self.unit].dimension

    def __lt__(self, other: Quantity) -> bool:
        return self.magnitude < magnitude(other, self.unit)

    def __le__(self, other: Quantity) -> bool:
        return self.magnitude <= magnitude(other, self.unit)

    def __add__(self, other: Quantity) -> Quantity:
        return Quantity(self.magnitude + _span(other, self.unit), self.unit)

    def __sub__(self, other: Quantity) -> Quantity:
        return Quantity(self.magnitude - _span(other, self.unit), self.unit)


def quantity(value: Fraction | int | str, unit: str) -> Quantity:
    """An exact quantity; ``value`` is a rational, an integer or decimal text, ``unit`` a spelling of ``UNITS``.

    Floats are refused: they are not what the author wrote.

    :raises KeyError: for another unit.
    """
    if isinstance(value, float):
        raise TypeError("quantities are exact: give text, an integer or a fraction")
    if unit not in UNITS:
        raise KeyError(unit)
    return Quantity(value if type(value) is Fraction else Fraction(value), unit)


def magnitude(value: Quantity, unit: str) -> Fraction:
    """The exact magnitude of ``value`` in ``unit``.

    :raises DimensionError: when the dimensions differ.
    """
    if value.unit == unit:
        return value.magnitude
    factor, shift = _conversion(value.unit, unit)
    return value.magnitude * factor + shift if shift else value.magnitude * factor


@cache
def _conversion(given: str, wanted: str) -> tuple[Fraction, Fraction]:
    """How many of the one unit another is, and what is added since their scales begin elsewhere.

    :raises DimensionError: when the dimensions differ.
    """
    one, other = UNITS[given], UNITS[wanted]
    if one.dimension != other.dimension:
        raise DimensionError(f"{given} measures {one.dimension}, {wanted} measures {other.dimension}")
    return one.size / other.size, (one.zero - other.zero) / other.size


def _span(value: Quantity, unit: str) -> Fraction:
    """The same of what can be added; points on a scale that does not begin at zero cannot."""
    if UNITS[unit].zero or UNITS[value.unit].zero:
        raise DimensionError(f"{value.unit} and {unit} cannot be added")
    return magnitude(value, unit)


def same_dimension(value: Quantity, unit: str) -> bool:
    """Whether ``value`` can be expressed in ``unit``."""
    return value.dimension == UNITS[unit].dimension


def unit_spelling(text: str) -> str:
    """The spelling in ``UNITS`` for an author's unit text.

    :raises QuantityError: when the unit is unknown.
    """
    text = text.strip()
    if text in UNITS:
        return text
    if text in ALSO_WRITTEN:
        return ALSO_WRITTEN[text]
    known = [name for name in (*UNITS, *ALSO_WRITTEN) if name]
    raise QuantityError(f"unknown unit {text!r}", "one of " + ", ".join(n for n in UNITS if n), nearest(text, known))


def parse_number(text: str) -> Fraction:
    """An exact number from decimal text.

    :raises QuantityError: when the text is no number.
    """
    cleaned = text.strip().replace("−", "-")
    if not NUMBER.fullmatch(cleaned):
        raise QuantityError(f"{text!r} is no number", "decimal digits with a point, such as 0.5")
    return Fraction(cleaned)


def parse_quantity(text: str) -> tuple[Quantity, str]:
    """The quantity in ``text`` and the unit spelling used, e.g. ``10 %LEL`` or ``0.5 L/min``.

    :raises QuantityError: when the number or the unit is missing or unknown.
    """
    match = NUMBER.match(text.strip())
    if not match:
        raise QuantityError(f"{text!r} is no quantity", "a number and a unit, such as 10 %LEL")
    rest = text.strip()[match.end() :]
    unit = rest.strip()
    if rest[:1].isdigit():
        raise QuantityError(f"a number too long to be meant, {text.strip()[:20]!r} and so on", "at most 40 digits")
    if re.match(r",?[0-9]", unit):
        found = f"{text!r} has a comma or a gap in its number"
        raise QuantityError(found, "digits with a decimal point, and nothing between thousands")
    if not unit:
        raise QuantityError(f"{text!r} has no unit", "a number and a unit, such as 10 %LEL")
    spelling = unit_spelling(unit)
    return quantity(parse_number(match.group()), spelling), spelling


def printed_unit(unit: str) -> str:
    """The unit as a reader sees it."""
    return PRINTED_UNITS.get(unit, unit)
