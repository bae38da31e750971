"""A mixture whose parts are known as ranges: what it is at its worst.

Every quantity here is a sum of parts, or a quotient of two, so the worst lies at a corner: a composition with all parts
but one at an end of their ranges (Charnes and Cooper, Naval Research Logistics Quarterly 9, 1962; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.base.rounding import plain
from builder.figures.formulas.inputs import amount, factor_of, parts_by_volume, same_length
from builder.figures.formulas.registry import COMMON_PRACTICE, formula

WHOLE = Fraction(100)
MOST_PARTS = 8
"""Parts of one mixture; beyond, corners are too many to look at each."""


def _corners(lowest: Sequence[Quantity], highest: Sequence[Quantity]) -> Iterator[tuple[Fraction, ...]]:
    """Every corner in percent, in a lasting order; a range of no width is an end twice, which is harmless."""
    same_length(lowest, highest, "lowest and highest parts")
    low, high = parts_by_volume(lowest, "lowest part"), parts_by_volume(highest, "highest part")
    if not 0 < len(low) <= MOST_PARTS:
        raise OutOfRangeError(f"{len(low)} parts", f"1 to {MOST_PARTS}")
    if any(first > last for first, last in zip(low, high, strict=True)):
        raise OutOfRangeError("a lowest part above its highest", "ranges from low to high")
    if not sum(low) <= WHOLE <= sum(high):
        found = f"parts from {plain(sum(low, Fraction(0)))} to {plain(sum(high, Fraction(0)))} % together"
        raise OutOfRangeError(found, "ranges that hold a composition of exactly 100 %")
    for free in range(len(low)):
        others = [(low[at], high[at]) if at != free else (Fraction(0),) for at in range(len(low))]
        for ends in product(*others):
            rest = WHOLE - sum(ends)
            if low[free] <= rest <= high[free]:
                yield (*ends[:free], rest, *ends[free + 1 :])


def _share(parts: Sequence[Fraction], limits: Sequence[Fraction | None]) -> Fraction:
    """Sum of part over limit; a part without a limit adds nothing."""
    used = (part / limit for part, limit in zip(parts, limits, strict=True) if limit)
    return sum(used, Fraction(0))


def _limits(values: Sequence[Quantity | None], unit: str, name: str) -> list[Fraction | None]:
    made = [None if value is None else amount(value, unit, name, above=0) for value in values]
    if not any(made):
        raise OutOfRangeError(f"no part with a {name}", "one or more")
    return made


@formula(
    title="Parts of a mixture at its lowest explosive limit",
    expression="x with the largest Σ(x / LEL of x), each x within its range, Σx = 100 %",
    source="Le Chatelier's rule, as in US Bureau of Mines Bulletin 503 (1952); its lowest value over the ranges",
    valid="flammable gases on one LEL basis; a part that does not burn has no limit and only dilutes",
    rounding="not rounded: it only feeds the mixture's limit",
    read=False,
)
def most_explosive(
    lowest: Sequence[Quantity], highest: Sequence[Quantity], lels: Sequence[Quantity | None]
) -> tuple[Quantity, ...]:
    """The composition with the lowest explosive limit among all that the ranges allow.

    :param lowest: least part of each gas by volume [%]
    :param highest: most of each, in the same order [%]
    :param lels: lower explosive limits, in the same order; none for a gas that does not burn [%vol]
    :returns: parts that sum to the whole, in the same order [%]

    >>> ends = [quantity(50, "%"), quantity(20, "%")], [quantity(80, "%"), quantity(50, "%")]
    >>> [str(part.magnitude) for part in most_explosive(*ends, [quantity(4, "%vol"), quantity(2, "%vol")])]
    ['50', '50']
    """
    same_length(lowest, lels, "parts and limits")
    limits = _limits(lels, "%vol", "LEL")
    worst = max(_corners(lowest, highest), key=lambda parts: _share(parts, limits))
    return tuple(quantity(part, "%") for part in worst)


@formula(
    title="Largest response factor of a mixture",
    expression="largest Σw / Σ(w / factor of x), w = x / LEL of x or x, each x within its range, Σx = 100 %",
    source=COMMON_PRACTICE,
    valid="signals that add up; a gas the sensor does not see has no factor and adds no signal",
    rounding="up: it multiplies a reading of a hazard",
)
def largest_factor(
    lowest: Sequence[Quantity],
    highest: Sequence[Quantity],
    factors: Sequence[Quantity | None],
    lels: Sequence[Quantity | None] | None = None,
) -> Quantity:
    """Factor that turns the reading of a mixture into its true total, whatever its composition within the ranges.

    :param lowest: least part of each gas by volume [%]
    :param highest: most of each, in the same order [%]
    :param factors: that multiply the reading, in the same order; none for a gas the sensor cannot see [1]
    :param lels: for a flammable display, lower explosive limits; none for a gas that does not burn [%vol]
    :returns: factor of the mixture at its worst [1]

    >>> ends = [quantity(25, "%"), quantity(25, "%")], [quantity(75, "%"), quantity(75, "%")]
    >>> largest_factor(*ends, [quantity(1, ""), quantity(3, "")])
    Quantity(magnitude=Fraction(2, 1), unit='')
    """
    same_length(lowest, factors, "parts and factors")
    weights = [Fraction(1) for _ in lowest] if lels is None else _limits(lels, "%vol", "LEL")
    same_length(lowest, weights, "parts and limits")
    seen = [None if one is None else factor_of(one) for one in factors]
    signals = [
        None if weight is None or factor is None else weight * factor
        for weight, factor in zip(weights, seen, strict=True)
    ]
    found: list[Fraction] = []
    for parts in _corners(lowest, highest):
        signal, whole = _share(parts, signals), _share(parts, weights)
        if signal == 0:
            raise OutOfRangeError("a composition of which the sensor sees nothing", "one part with a factor in each")
        found.append(whole / signal)
    return quantity(max(found), "")


@formula(
    title="Lowest total of a mixture at which its additive limit is reached",
    expression="C = 1 / largest Σ(x / L), each x within its range, Σx = 1",
    source="29 CFR 1910.1000(d)(2)(i), solved for the total; its lowest value over the ranges",
    valid="substances of like effect; limits of one kind; a part without a limit adds nothing",
    rounding="down: it is a limit",
)
def lowest_total(
    lowest: Sequence[Quantity], highest: Sequence[Quantity], limits: Sequence[Quantity | None]
) -> Quantity:
    """How much of the whole mixture uses up the limits of its parts together, at the worst of the ranges.

    :param lowest: least part of each gas by volume [%]
    :param highest: most of each, in the same order [%]
    :param limits: exposure limits, in the same order; none for a part without [ppm or %vol]
    :returns: total of the mixture, with what has no limit [ppm]

    >>> ends = [quantity(25, "%"), quantity(25, "%")], [quantity(75, "%"), quantity(75, "%")]
    >>> lowest_total(*ends, [quantity(100, "ppm"), quantity(300, "ppm")])
    Quantity(magnitude=Fraction(120, 1), unit='ppm')
    """
    same_length(lowest, limits, "parts and limits")
    allowed = _limits(limits, "ppm", "limit")
    used = max(_share(parts, allowed) for parts in _corners(lowest, highest)) / WHOLE
    if used == 0:
        raise OutOfRangeError("a mixture without any part that has a limit", "one or more")
    return quantity(1 / used, "ppm")
