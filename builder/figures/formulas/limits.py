"""Exposure limits that follow from printed ones: of a mixture, and for a long shift."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.base.rounding import Direction, plain, round_to_step
from builder.figures.formulas.exposure import long_shift_factor
from builder.figures.formulas.inputs import amount, amounts, kind_of, same_length
from builder.figures.formulas.registry import COMMON_PRACTICE, formula
from builder.figures.formulas.response import true_value


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

    >>> halves = [quantity(50, "%"), quantity(50, "%")]
    >>> mixture_limit(halves, [quantity(100, "ppm"), quantity(300, "ppm")])
    Quantity(magnitude=Fraction(150, 1), unit='ppm')
    """
    same_length(parts, limits, "parts and limits")
    shares = amounts(parts, "", "part", above=0)
    if sum(shares) > 1:
        raise OutOfRangeError(f"parts sum to {plain(sum(shares, Fraction(0)))}", "at most 1")
    allowed = amounts(limits, "ppm", "limit", above=0)
    used = sum((share / limit for share, limit in zip(shares, allowed, strict=True)), Fraction(0))
    return quantity(1 / used, "ppm")


@formula(
    title="Strictest of the totals that several lists allow",
    expression="lowest of the totals",
    source=COMMON_PRACTICE,
    valid="totals of one mixture, each by a list that counts in the same place",
    rounding="down: it is a limit",
)
def strictest_total(totals: Sequence[Quantity]) -> Quantity:
    """The total that keeps every list.

    :param totals: by each list [ppm]
    :returns: the lowest [ppm]

    >>> strictest_total([quantity(454, "ppm"), quantity(172, "ppm")])
    Quantity(magnitude=Fraction(172, 1), unit='ppm')
    """
    return quantity(min(amounts(totals, "ppm", "total", above=0)), "ppm")


@formula(
    title="Margin between a limit and an alarm",
    expression="rising: limit − value as set; falling: value as set − limit; set to a step of the display, to safety",
    source="definition",
    valid="both true values, or both as displayed, in one unit; below zero the alarm stands beyond the limit",
    rounding="down: a margin is not to be made large",
)
def margin(limit: Quantity, value: Quantity, step: Quantity | None = None, *, falling: bool = False) -> Quantity:
    """How far an alarm stands on the safe side of the limit that it protects.

    :param limit: as the list or rule prints it [%LEL, %vol, ppm or mg/m3]
    :param value: chosen for the alarm [%LEL, %vol, ppm or mg/m3]
    :param step: to which the instrument can be set; none for a true value [%LEL, %vol, ppm or mg/m3]
    :param falling: whether too little is the hazard [yes or no]
    :returns: margin [%LEL, %vol, ppm or mg/m3]

    >>> margin(quantity(10, "ppm"), quantity(5, "ppm"))
    Quantity(magnitude=Fraction(5, 1), unit='ppm')
    """
    unit = kind_of(limit)
    chosen = amount(value, unit, "value", low=0)
    if step is not None:
        chosen = round_to_step(chosen, amount(step, unit, "step", above=0), Direction.UP if falling else Direction.DOWN)
    room = amount(limit, unit, "limit", low=0) - chosen
    return quantity(-room if falling else room, unit)


@formula(
    title="Margin between a limit and what is really there when an alarm sounds",
    expression="margin = limit − display as set × factor; set to a step of the display, downward",
    source=COMMON_PRACTICE,
    valid="a rising alarm; factor of the gas on this sensor, above zero; below zero the alarm stands beyond the limit",
    rounding="down: a margin is not to be made large",
)
def margin_through_factor(
    limit: Quantity, display: Quantity, factor: Quantity, step: Quantity | None = None
) -> Quantity:
    """How far below a limit a gas really is when a display, scaled in another gas, reaches its alarm.

    :param limit: true value [%LEL, %vol, ppm or mg/m3]
    :param display: chosen for the alarm [%LEL, %vol, ppm or mg/m3]
    :param factor: that multiplies the reading [1]
    :param step: to which the instrument can be set [%LEL, %vol, ppm or mg/m3]
    :returns: margin [%LEL, %vol, ppm or mg/m3]

    >>> margin_through_factor(quantity(10, "%LEL"), quantity(4, "%LEL"), quantity(2, ""))
    Quantity(magnitude=Fraction(2, 1), unit='%LEL')
    """
    true_step = None if step is None else true_value(step, factor)
    return margin(limit, true_value(display, factor), true_step)


@formula(
    id="limits.long-shift",
    title="Limit lowered for a long shift",
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

    >>> long_shift_limit(quantity(50, "ppm"), quantity(12, "h"))
    Quantity(magnitude=Fraction(25, 1), unit='ppm')
    """
    factor = amount(long_shift_factor(hours), "", "factor")
    return quantity(amount(limit, "ppm", "limit", above=0) * factor, "ppm")
