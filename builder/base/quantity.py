"""The one pint registry of the project, and the spellings of units that authors and readers see.

Magnitudes are exact rationals. A volume fraction (``%vol``, ``ppm``) and a share of the lower explosive limit
(``%LEL``) are dimensions of their own, so neither can pass for a plain percentage or for the other.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any, TypeAlias

from builder.base.nearest import nearest

if TYPE_CHECKING:
    import pint

Quantity: TypeAlias = "pint.Quantity[Any]"

UNITS: dict[str, str] = {
    "%LEL": "percent_lel",
    "%vol": "percent_vol",
    "ppm": "ppm_vol",
    "ppb": "ppb_vol",
    "mg/m3": "milligram / meter ** 3",
    "g/m3": "gram / meter ** 3",
    "%": "percent",
    "": "dimensionless",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "days": "day",
    "L/min": "liter / minute",
    "mL/min": "milliliter / minute",
    "m3/h": "meter ** 3 / hour",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "ft": "foot",
    "mL": "milliliter",
    "L": "liter",
    "m3": "meter ** 3",
    "m/s": "meter / second",
    "m/min": "meter / minute",
    "s/m": "second / meter",
    "kPa": "kilopascal",
    "hPa": "hectopascal",
    "Pa": "pascal",
    "bar": "bar",
    "mmHg": "mmHg",
    "°C": "degree_Celsius",
    "K": "kelvin",
    "eV": "electron_volt",
    "g/mol": "gram / mole",
    "L/mol": "liter / mole",
    "kJ/mol": "kilojoule / mole",
    "cm2/s": "centimeter ** 2 / second",
    "dB(A)": "decibel_a",
    "kg": "kilogram",
    "g": "gram",
}
"""Unit as written -> pint expression. The first spelling of a dimension is the one printed."""

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

DEFINITIONS: tuple[str, ...] = (
    "kilo- = 1000",
    "hecto- = 100",
    "centi- = 1e-2",
    "milli- = 1e-3",
    "meter = [length]",
    "second = [time]",
    "gram = [mass]",
    "mole = [substance]",
    "kelvin = [temperature]; offset: 0",
    "degree_Celsius = kelvin; offset: 273.15",
    "percent = 0.01",
    "minute = 60 * second",
    "hour = 60 * minute",
    "day = 24 * hour",
    "foot = 0.3048 * meter",
    "liter = 1e-3 * meter ** 3",
    "pascal = kilogram / meter / second ** 2",
    "bar = 100000 * pascal",
    "mmHg = 13.5951 * 9.80665 * pascal",
    "joule = pascal * meter ** 3",
    "electron_volt = 1.602176634e-19 * joule",
    "volume_fraction = [volume_fraction]",
    "percent_vol = volume_fraction / 100",
    "ppm_vol = volume_fraction / 1000000",
    "ppb_vol = volume_fraction / 1000000000",
    "percent_lel = [share_of_lower_explosive_limit]",
    "decibel_a = [sound_level]",
)
"""Units that ``UNITS`` is made of. Reading pint's own thousand takes most of the time of a short command; a test holds
these against them."""

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


UNUSED = ("numpy", "scipy", "dask", "xarray", "uncertainties", "babel")
"""Libraries that pint loads where they happen to be installed, though nothing here hands it their numbers."""


@contextmanager
def _hidden(names: tuple[str, ...]) -> Iterator[None]:
    """Keep an import from loading these, unless they are loaded already."""
    hidden = [name for name in names if name not in sys.modules]
    sys.modules.update(dict.fromkeys(hidden))  # type: ignore[arg-type]  # None stands for what cannot be imported
    try:
        yield
    finally:
        for name in hidden:
            del sys.modules[name]


@cache
def registry() -> pint.UnitRegistry[Any]:
    """The registry; made once, at first need."""
    with _hidden(UNUSED):
        import pint  # noqa: PLC0415 - heavy, so loaded at first need

    units: pint.UnitRegistry[Any] = pint.UnitRegistry(None, non_int_type=Fraction, cache_folder=None)
    units.load_definitions(DEFINITIONS)
    return units


@cache
def _unit(spelling: str) -> Any:
    return registry().parse_units(UNITS[spelling])


def quantity(value: Fraction | int | str, unit: str) -> Quantity:
    """An exact quantity; ``value`` is a rational, an integer or decimal text, ``unit`` a spelling of ``UNITS``.

    Floats are refused: they are not what the author wrote.
    """
    if isinstance(value, float):
        raise TypeError("quantities are exact: give text, an integer or a fraction")
    return _exact(value if type(value) is Fraction else Fraction(value), unit)


@lru_cache(maxsize=1 << 15)
def _exact(value: Fraction, unit: str) -> Quantity:
    """The same numbers come again and again, and pint takes long to make one; nothing here changes one in place."""
    return registry().Quantity(value, _unit(unit))


def magnitude(value: Quantity, unit: str) -> Fraction:
    """The exact magnitude of ``value`` in ``unit``.

    :raises pint.DimensionalityError: when the dimensions differ.
    """
    factor = _factor(value.units, unit)
    converted = value.magnitude * factor if factor else _shifted(value.magnitude, value.units, unit)
    return converted if isinstance(converted, Fraction) else Fraction(converted)


@lru_cache(maxsize=1 << 12)
def _shifted(number: Fraction, units: Any, unit: str) -> Any:
    """A temperature on another scale: each site has few of them and asks for them with every figure of a gas."""
    return registry().Quantity(number, units).m_as(_unit(unit))


@cache
def _factor(units: Any, unit: str) -> Fraction | None:
    """How many of ``unit`` one of ``units`` is, ``None`` where zero of the one is not zero of the other.

    pint finds this anew for every number, which took a tenth of all computing.

    :raises pint.DimensionalityError: when the dimensions differ.
    """
    zero, one = (registry().Quantity(Fraction(number), units).m_as(_unit(unit)) for number in (0, 1))
    return None if zero else Fraction(one)


def same_dimension(value: Quantity, unit: str) -> bool:
    """Whether ``value`` can be expressed in ``unit``."""
    return bool(value.dimensionality == _unit(unit).dimensionality)


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
