"""Several gases in front of one sensor."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.base.rounding import plain
from builder.figures.formulas.inputs import amount, amounts, factor_of, parts_by_volume, same_length
from builder.figures.formulas.registry import COMMON_PRACTICE, formula


@formula(
    title="Response factor of a mixture",
    expression="factor = 1 / Σ(y / factor of y)",
    source=COMMON_PRACTICE,
    valid="signals that add up; shares that sum to 1; a gas the sensor does not see has no factor and adds no signal",
    rounding="up: it multiplies a reading of a hazard",
)
def mixture_factor(shares: Sequence[Quantity], factors: Sequence[Quantity | None]) -> Quantity:
    """Factor that turns the reading of a mixture into its true total.

    Photoionisation: shares by volume. Catalytic: shares of the mixture's total %LEL (see ``lel_shares``).

    :param shares: of each gas in the mixture [1 or %]
    :param factors: that multiply the reading, in the same order; none for a gas the sensor cannot see [1]
    :returns: factor of the whole mixture [1]

    >>> halves = [quantity(50, "%"), quantity(50, "%")]
    >>> mixture_factor(halves, [quantity(1, ""), quantity(3, "")])
    Quantity(magnitude=Fraction(3, 2), unit='')
    """
    same_length(shares, factors, "shares and factors")
    parts = amounts(shares, "", "share")
    if sum(parts) != 1:
        raise OutOfRangeError(f"shares sum to {plain(sum(parts, Fraction(0)))}", "exactly 1")
    seen = [(part, factor) for part, factor in zip(parts, factors, strict=True) if factor is not None]
    signal = sum((part / factor_of(factor) for part, factor in seen), Fraction(0))
    if signal == 0:
        raise OutOfRangeError("the sensor sees no gas of the mixture", "at least one with a factor")
    return quantity(1 / signal, "")


@formula(
    title="Shares of a mixture's total %LEL",
    expression="y = (x / LEL of x) / Σ(x / LEL of x)",
    source="definition of %LEL with Le Chatelier's rule, as in US Bureau of Mines Bulletin 503 (1952)",
    valid="flammable gases on one LEL basis",
    rounding="not rounded: it only feeds a mixture factor",
    read=False,
)
def lel_shares(fractions: Sequence[Quantity], lels: Sequence[Quantity]) -> tuple[Quantity, ...]:
    """What part of the explosive strength of a mixture each gas has.

    :param fractions: of each gas by volume [%vol, ppm or %]
    :param lels: their lower explosive limits, in the same order [%vol]
    :returns: shares that sum to 1, in the same order [1]

    >>> parts = lel_shares([quantity(2, "%vol"), quantity(1, "%vol")], [quantity(4, "%vol"), quantity(2, "%vol")])
    >>> [str(part.magnitude) for part in parts]
    ['1/2', '1/2']
    """
    same_length(fractions, lels, "fractions and limits")
    limits = amounts(lels, "%vol", "LEL", above=0)
    strengths = [part / limit for part, limit in zip(parts_by_volume(fractions, "fraction"), limits, strict=True)]
    if not any(strengths):
        raise OutOfRangeError("the mixture holds no flammable gas", "at least one fraction above 0 %vol")
    return tuple(quantity(strength / sum(strengths), "") for strength in strengths)


@formula(
    title="Part of a mixture that does not burn",
    expression="part = Σ parts that do not burn",
    source="parts by volume add up",
    valid="parts of one mixture by volume, together at most the whole",
    rounding="to nearest: it only feeds the mixture's limit",
)
def inert_part(parts: Sequence[Quantity]) -> Quantity:
    """How much of a mixture only dilutes.

    :param parts: each part that does not burn, by volume [%]
    :returns: all of them [%]

    >>> inert_part([quantity(30, "%"), quantity(20, "%")])
    Quantity(magnitude=Fraction(50, 1), unit='%')
    """
    total = sum(parts_by_volume(parts, "part"), Fraction(0))
    if total > 100:  # noqa: PLR2004 - percent
        raise OutOfRangeError(f"parts sum to {plain(total)} %", "at most 100 %")
    return quantity(total, "%")


@formula(
    title="Response factor of the worst gas",
    expression="factor = largest of the factors",
    source=COMMON_PRACTICE,
    valid="every gas that may be present is seen and listed, all from one table of one sensor model",
    rounding="not rounded",
)
def worst_factor(factors: Sequence[Quantity]) -> Quantity:
    """The factor to reckon with when it is not known which of several gases is there.

    :param factors: that multiply the reading [1]
    :returns: the largest [1]

    >>> worst_factor([quantity("1.9", ""), quantity("2.6", "")])
    Quantity(magnitude=Fraction(13, 5), unit='')
    """
    return quantity(max(amounts(factors, "", "factor", above=0)), "")


@formula(
    title="What other gases add to a reading",
    expression="added = Σ(interferent × coefficient), with sign",
    source=COMMON_PRACTICE,
    valid="coefficients of this sensor model, as reading per unit of interferent; filters not exhausted",
    rounding="away from zero: the error is not to be made small",
)
def cross_sensitivity(interferents: Sequence[Quantity], coefficients: Sequence[Quantity]) -> Quantity:
    """How far gases other than the target move a toxic-gas reading; below zero they hide the target.

    :param interferents: true concentration of each other gas [ppm or %vol]
    :param coefficients: reading per unit of each, in the same order, negative where it lowers the reading [1 or %]
    :returns: change of the reading [ppm]

    >>> gases = [quantity(100, "ppm"), quantity(10, "ppm")]
    >>> cross_sensitivity(gases, [quantity(5, "%"), quantity(-20, "%")])
    Quantity(magnitude=Fraction(3, 1), unit='ppm')
    """
    same_length(interferents, coefficients, "interferents and coefficients")
    concentrations = amounts(interferents, "ppm", "interferent")
    signed = [amount(value, "", "coefficient") for value in coefficients]
    return quantity(sum((a * b for a, b in zip(concentrations, signed, strict=True)), Fraction(0)), "ppm")
