"""Lower explosive limits of mixtures and of warm vapours, and what a liquid can reach."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.base.rounding import plain
from builder.figures.formulas.gas import vol_to_lel
from builder.figures.formulas.inputs import amount, amounts, parts_by_volume, same_length
from builder.figures.formulas.registry import formula

# Zabetakis, Flammability characteristics of combustible gases and vapors, US Bureau of Mines Bulletin 627 (1965),
# modified Burgess-Wheeler law for paraffins: share of the limit at 25 °C lost with each degree above. Recalled.
LOSS_PER_DEGREE = Fraction("0.000721")

WHOLE = 100


@formula(
    title="Lower explosive limit of a mixture",
    expression="LEL = 1 / Σ(x / LEL of x); inert part: none of x",
    source="Le Chatelier's rule, as in US Bureau of Mines Bulletins 503 (Coward and Jones, 1952) and 627 (1965)",
    valid="fractions that sum to 100 %vol; limits at one temperature in air; inert gas only dilutes, which errs low; "
    "the true limit can lie below it for hydrogen sulfide or carbon disulfide with hydrocarbons, and for gases that "
    "decompose by themselves (acetylene, ethylene oxide, hydrazine)",
    rounding="down: it is a limit",
    read=False,
)
def mixture_lel(fractions: Sequence[Quantity], lels: Sequence[Quantity], inert: Quantity | None = None) -> Quantity:
    """Limit of a mixture in air; the inert part is counted as no fuel and its further damping is not claimed.

    :param fractions: of the flammable components in the mixture by volume, without air [%vol or %]
    :param lels: their lower explosive limits, in the same order and on one basis [%vol]
    :param inert: the inert part of the mixture by volume [%vol or %]
    :returns: lower explosive limit of the whole mixture [%vol]

    >>> halves = [quantity(50, "%vol"), quantity(50, "%vol")]
    >>> mixture_lel(halves, [quantity(4, "%vol"), quantity(2, "%vol")])
    Quantity(magnitude=Fraction(8, 3), unit='%vol')
    """
    same_length(fractions, lels, "fractions and limits")
    parts = parts_by_volume(fractions, "fraction")
    limits = amounts(lels, "%vol", "LEL", above=0)
    total = sum((*parts, *parts_by_volume([] if inert is None else [inert], "inert part")), Fraction(0))
    if total != WHOLE:
        raise OutOfRangeError(f"the mixture sums to {plain(total)} %vol", "exactly 100 %vol")
    fuel = sum((part / limit for part, limit in zip(parts, limits, strict=True)), Fraction(0))
    if fuel < 1:
        raise OutOfRangeError("by dilution alone the mixture has no limit", "a result of at most 100 %vol")
    return quantity(WHOLE / fuel, "%vol")


@formula(
    title="Lower explosive limit of a warm paraffin",
    expression="LEL(T) = LEL(25 °C) × (1 − 0.000721 × (T − 25 °C))",
    source="Zabetakis, US Bureau of Mines Bulletin 627 (1965), modified Burgess-Wheeler law for paraffin hydrocarbons",
    valid="paraffins (methane, ethane, propane and so on) in air, 25 to 200 °C; other gases burn at less when warm, "
    "by how much is not known here; below 25 °C use the limit at 25 °C, which is on the safe side",
    rounding="down: it is a limit",
    read=False,
)
def lel_at_temperature(lel: Quantity, temperature: Quantity) -> Quantity:
    """Limit of a paraffin vapour above room temperature, where it burns at less.

    :param lel: lower explosive limit at 25 °C [%vol]
    :param temperature: of the mixture [°C]
    :returns: lower explosive limit at that temperature [%vol]

    >>> lel_at_temperature(quantity(5, "%vol"), quantity(125, "°C"))
    Quantity(magnitude=Fraction(9279, 2000), unit='%vol')
    """
    limit = amount(lel, "%vol", "LEL", above=0, high=WHOLE)
    degrees = amount(temperature, "°C", "temperature", low=25, high=200)
    return quantity(limit * (1 - LOSS_PER_DEGREE * (degrees - 25)), "%vol")


@formula(
    title="Highest concentration over a liquid",
    expression="%vol = 100 × psat / p, at most 100",
    source="Dalton's law of partial pressures",
    valid="still air over a pure liquid at that temperature, 20 to 200 kPa; mist and hot spots can exceed it",
    rounding="up: it is a hazard",
)
def highest_vapour(vapour_pressure: Quantity, pressure: Quantity) -> Quantity:
    """Concentration that a liquid can reach in still air; at or above its boiling point the vapour is everything.

    :param vapour_pressure: of the liquid at its temperature [kPa]
    :param pressure: of the air, absolute [kPa]
    :returns: concentration [%vol]

    >>> highest_vapour(quantity(5, "kPa"), quantity(100, "kPa"))
    Quantity(magnitude=Fraction(5, 1), unit='%vol')
    """
    air = amount(pressure, "kPa", "pressure", low=20, high=200)
    return quantity(
        min(Fraction(WHOLE), WHOLE * amount(vapour_pressure, "kPa", "vapour pressure", low=0) / air), "%vol"
    )


@formula(
    title="Highest share of the lower explosive limit over a liquid",
    expression="%LEL = 100 × (100 × psat / p) / LEL",
    source="Dalton's law of partial pressures; definition of %LEL",
    valid="still air over a pure liquid at that temperature, 20 to 200 kPa; mist and hot spots can exceed it",
    rounding="up: it is a hazard",
)
def reachable_lel(vapour_pressure: Quantity, pressure: Quantity, lel: Quantity) -> Quantity:
    """Share of its limit that the vapour of a liquid can reach; below 100 it does not flash in still air.

    :param vapour_pressure: of the liquid at its temperature [kPa]
    :param pressure: of the air, absolute [kPa]
    :param lel: lower explosive limit on the basis in use [%vol]
    :returns: share of the limit [%LEL]

    >>> reachable_lel(quantity(1, "kPa"), quantity(100, "kPa"), quantity(2, "%vol"))
    Quantity(magnitude=Fraction(50, 1), unit='%LEL')
    """
    return vol_to_lel(highest_vapour(vapour_pressure, pressure), lel)
