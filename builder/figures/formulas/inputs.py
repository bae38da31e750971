"""Reading the arguments of formulas: exact magnitudes, refused outside their range; and irrational functions."""

from __future__ import annotations

import operator
from collections.abc import Sequence
from decimal import Context, Decimal
from fractions import Fraction
from functools import cache
from typing import Final

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, magnitude, quantity, same_dimension
from builder.base.rounding import plain

Bound = Fraction | int | str | None

PRECISION = Context(prec=34)
"""Decimal, not binary, arithmetic: the same digits on every machine."""


def amount(
    value: Quantity,
    unit: str,
    name: str,
    *,
    low: Bound = None,
    above: Bound = None,
    high: Bound = None,
    below: Bound = None,
) -> Fraction:
    """The exact magnitude of ``value`` in ``unit``, refused outside its bounds; ``low`` and ``high`` are allowed.

    :raises DimensionError: when the dimension differs.
    :raises OutOfRangeError: outside the bounds.
    """
    found = magnitude(value, unit)
    checks = (("at least", operator.ge, low), ("above", operator.gt, above),
              ("at most", operator.le, high), ("below", operator.lt, below))  # fmt: skip
    bounds = [(words, holds, _exactly(bound)) for words, holds, bound in checks if bound is not None]
    if not all(holds(found, bound) for _, holds, bound in bounds):
        allowed = " and ".join(f"{words} {plain(Fraction(bound))} {unit}".strip() for words, _, bound in bounds)
        raise OutOfRangeError(f"{name} is {plain(found)} {unit}".strip(), allowed)
    return found


def _exactly(bound: Fraction | int | str) -> Fraction | int:
    return _read(bound) if isinstance(bound, str) else bound


@cache
def _read(bound: str) -> Fraction:
    """Formulas name the same few bounds for every number."""
    return Fraction(bound)


def factor_of(value: Quantity, name: str = "factor") -> Fraction:
    """A response factor: a plain number above zero."""
    return amount(value, "", name, above=0)


KINDS: Final = ("%LEL", "%vol", "ppm", "ppb", "mg/m3", "g/m3")
"""Units of concentrations and readings."""


def kind_of(value: Quantity) -> str:
    """The unit of a concentration or reading; a value of another kind fails when it is read in the unit returned."""
    return value.unit if value.unit in KINDS else "%vol"


def exposure_kind(value: Quantity) -> str:
    """The unit of an exposure: by volume or by mass, never a share of the explosive limit."""
    unit = kind_of(value)
    return "%vol" if unit == "%LEL" else unit


def amounts(values: Sequence[Quantity], unit: str, name: str, *, above: Bound = None) -> list[Fraction]:
    """The magnitudes of a list that may not be empty."""
    if not values:
        raise OutOfRangeError(f"no {name} given", "one or more")
    return [amount(value, unit, f"{name} {number}", low=0, above=above) for number, value in enumerate(values, 1)]


def parts_by_volume(values: Sequence[Quantity], name: str) -> list[Fraction]:
    """Parts of a mixture by volume in percent, whether they are told as a volume fraction or as a plain percentage."""
    return [amount(value, "%" if same_dimension(value, "%") else "%vol", name, low=0) for value in values]


def same_length(first: Sequence[object], second: Sequence[object], names: str) -> None:
    """Refuse two lists that do not pair up."""
    if len(first) != len(second):
        raise OutOfRangeError(f"{names}: {len(first)} and {len(second)} given", "as many of each")


def optional(value: Quantity | None, unit: str) -> Quantity:
    """``value``, or nothing of that unit."""
    return quantity(0, unit) if value is None else value


def _decimal(value: Fraction) -> Decimal:
    return PRECISION.divide(Decimal(value.numerator), Decimal(value.denominator))


def exponential(value: Fraction) -> Fraction:
    """The exponential function, to 34 digits."""
    return Fraction(_decimal(value).exp(PRECISION))


def logarithm(value: Fraction) -> Fraction:
    """The natural logarithm of a number above zero, to 34 digits."""
    return Fraction(_decimal(value).ln(PRECISION)) if value != 1 else Fraction(0)


def power(base: Fraction, exponent: Fraction) -> Fraction:
    """``base`` above zero to the power ``exponent``, to 34 digits."""
    return Fraction(PRECISION.power(_decimal(base), _decimal(exponent)))
