"""How much of a sensor is used up: span left, and the day on which it is gone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.inputs import amount, kind_of, same_length
from builder.figures.formulas.registry import COMMON_PRACTICE, formula

FARTHEST = 3660
"""Days beyond which no loss is carried forward."""


@formula(
    title="Share of its first signal a sensor still gives",
    expression="span = 100 % × product of (as found / as left at the check before)",
    source=COMMON_PRACTICE,
    valid="readings on check gas, above zero, since the sensor was fitted; a signal that only grows counts as it is",
    rounding="down: it is stock",
)
def span_left(found: Sequence[Quantity], left: Sequence[Quantity]) -> Quantity:
    """What is left of the signal after all losses between checks.

    :param found: readings as found, all but the first [%LEL, %vol, ppm or mg/m3]
    :param left: as left at the check before each of them [%LEL, %vol, ppm or mg/m3]
    :returns: share left [%]

    >>> found, left = [quantity(45, "ppm"), quantity(45, "ppm")], [quantity(50, "ppm"), quantity(50, "ppm")]
    >>> span_left(found, left)
    Quantity(magnitude=Fraction(81, 1), unit='%')
    """
    same_length(found, left, "as found and as left")
    ratios = (
        amount(later, kind_of(later), "as found", above=0) / amount(earlier, kind_of(later), "as left", above=0)
        for later, earlier in zip(found, left, strict=True)
    )
    return quantity(math.prod(ratios, start=Fraction(1)) * 100, "%")


@formula(
    title="Day on which the span is used up",
    expression="day = last + ⌊(left − least) / (loss / days from first to last)⌋",
    source=COMMON_PRACTICE,
    valid="a loss above zero over one or more days that goes on at the same rate; up to 3660 days ahead",
    rounding="earlier: it is a term",
)
def span_end(first: date, last: date, left: Quantity, least: Quantity) -> date:
    """When a sensor that goes on losing span as it did reaches the least span it may have.

    :param first: day of the first reading [date]
    :param last: day of the last reading [date]
    :param left: share of the first signal on that day [%]
    :param least: share at which it is replaced [%]
    :returns: last day with enough span [date]

    >>> span_end(date(2025, 12, 13), date(2026, 7, 1), quantity(80, "%"), quantity(50, "%"))
    datetime.date(2027, 4, 27)
    """
    share = amount(left, "%", "span left", low=0)
    lost = 100 - share
    if lost <= 0:
        raise OutOfRangeError("no span was lost", "less than 100 % left")
    spare = max(share - amount(least, "%", "least span", low=0), Fraction(0))
    if last <= first:
        raise OutOfRangeError(f"last reading on {last}", f"after the first, on {first}")
    days = math.floor(spare * (last - first).days / lost)
    return last + timedelta(days=min(days, FARTHEST))
