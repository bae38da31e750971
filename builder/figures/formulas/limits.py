"""Exposure limits that follow from printed ones: of a mixture, and for a long turn of work."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.base.rounding import plain
from builder.figures.formulas.exposure import long_shift_factor
from builder.figures.formulas.inputs import amount, amounts, same_length
from builder.figures.formulas.registry import formula


@formula(
    id="limits.mixture",
    title="Total of a mixture at which its additive limit is reached",
    expression="C = 1 / Σ(x / L), so that Σ(C x / L) = 1",
    source="29 CFR 1910.1000(d)(2)(i), solved for the total",
    valid="substances of like effect; limits of one kind; x the parts by volume, which sum to at most 1",
    rounding="down: it is a limit",
)
def mixture_limit(parts: Sequence[Quantity], limits: Sequence[Quantity]) -> Quantity:
    """How much of the whole mixture in the air uses up the limits of its parts together.

    :param parts: of each substance that has a limit, by volume [1 or %]
    :param limits: of each, in the same order [ppm or %vol]
    :returns: total of the mixture, with what has no limit [ppm]

    >>> from builder.base.quantity import magnitude
    >>> halves = [quantity(50, "%"), quantity(50, "%")]
    >>> magnitude(mixture_limit(halves, [quantity(100, "ppm"), quantity(300, "ppm")]), "ppm")
    Fraction(150, 1)
    """
    same_length(parts, limits, "parts and limits")
    shares = amounts(parts, "", "part", above=0)
    if sum(shares) > 1:
        raise OutOfRangeError(f"parts sum to {plain(sum(shares, Fraction(0)))}", "at most 1")
    allowed = amounts(limits, "ppm", "limit", above=0)
    used = sum((share / limit for share, limit in zip(shares, allowed, strict=True)), Fraction(0))
    return quantity(1 / used, "ppm")


@formula(
    id="limits.long-shift",
    title="Limit lowered for a long turn of work",
    expression="L × (8 / h) × (24 − h) / 16",
    source="Brief and Scala, American Industrial Hygiene Association Journal 36 (1975) 467-469, daily model",
    valid="8 h to below 24 h a day; an 8-hour average; a choice of the site, no rule",
    rounding="down: it is a limit",
    read=False,
)
def long_shift_limit(limit: Quantity, hours: Quantity) -> Quantity:
    """An 8-hour average, lowered for a working day of more hours.

    :param limit: 8-hour average of the list [ppm or %vol]
    :param hours: length of the working day [h]
    :returns: average over the long day [ppm]

    >>> from builder.base.quantity import magnitude
    >>> magnitude(long_shift_limit(quantity(50, "ppm"), quantity(12, "h")), "ppm")
    Fraction(25, 1)
    """
    factor = amount(long_shift_factor(hours), "", "factor")
    return quantity(amount(limit, "ppm", "limit", above=0) * factor, "ppm")
