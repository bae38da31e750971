"""What a catalytic sensor can be expected to show of a gas: a plausibility check, never a response factor to use."""

from __future__ import annotations

from fractions import Fraction

from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.inputs import amount, power
from builder.figures.formulas.registry import formula

AIR_MASS, AIR_VOLUME = Fraction("28.96"), Fraction("19.7")
"""Mean molar mass of air, g/mol; diffusion volume of air, Fuller and others 1969, from memory."""
KELVIN, BAR = Fraction("298.15"), Fraction("1.01325")
"""25 °C and the standard atmosphere."""
SCALE = Fraction("0.00143")
"""Of the method in its form with bar and cm²/s."""


@formula(
    title="Diffusion coefficient of a gas in air",
    expression="D = 0.00143 T^1.75 / (p M^½ (V^⅓ + 19.7^⅓)²), M = 2 / (1/molar mass + 1/28.96), 25 °C, 1.01325 bar",
    source="Fuller, Schettler and Giddings, Industrial and Engineering Chemistry 58 (1966) 19",
    valid="gases that are no larger than what the method was fitted to; about 5 %",
    rounding="to nearest: it only says whether a stated factor is plausible",
)
def diffusion(molar_mass: Quantity, diffusion_volume: Quantity) -> Quantity:
    """How fast a gas spreads through still air.

    :param molar_mass: of the gas [g/mol]
    :param diffusion_volume: sum of its atomic diffusion volumes [1]
    :returns: diffusion coefficient at 25 °C and one atmosphere [cm2/s]

    >>> round(float(diffusion(quantity("16.043", "g/mol"), quantity("25.14", "")).magnitude), 3)
    0.21
    """
    mass = amount(molar_mass, "g/mol", "molar mass", above=0)
    volume = amount(diffusion_volume, "", "diffusion volume", above=0)
    mean = 2 / (1 / mass + 1 / AIR_MASS)
    third = Fraction(1, 3)
    spread = (power(volume, third) + power(AIR_VOLUME, third)) ** 2
    return quantity(SCALE * power(KELVIN, Fraction("1.75")) / (BAR * power(mean, Fraction(1, 2)) * spread), "cm2/s")


@formula(
    title="Response factor that the physics of a catalytic sensor lets expect",
    expression="factor = (D × heat × LEL) of the gas shown / (D × heat × LEL) of the gas",
    source="Firth, Jones and Jones, Combustion and Flame 21 (1973) 303: output at the limit goes with D × heat × LEL",
    valid="gases that burn whole on the bead; not for poisons, nor for vapours that stick; within about 0.7 to 1.4",
    rounding="to nearest: it only says whether a stated factor is plausible",
)
def expected_factor(signal_shown: Quantity, signal: Quantity) -> Quantity:
    """By what a reading as a share of the explosive limit is expected to be multiplied.

    :param signal_shown: D × heat × LEL of the gas that the display shows [1]
    :param signal: the same of the gas that is there [1]
    :returns: expected factor [1]

    >>> expected_factor(quantity(741, ""), quantity(389, "")).magnitude
    Fraction(741, 389)
    """
    shown = amount(signal_shown, "", "signal of the gas shown", above=0)
    return quantity(shown / amount(signal, "", "signal of the gas", above=0), "")


@formula(
    title="Signal of a catalytic sensor at the explosive limit, in a scale of its own",
    expression="signal = D × heat × LEL",
    source="Firth, Jones and Jones, Combustion and Flame 21 (1973) 303",
    valid="for comparing two gases on one sensor",
    rounding="to nearest: it only says whether a stated factor is plausible",
)
def signal(diffusion_coefficient: Quantity, heat: Quantity, lel: Quantity) -> Quantity:
    """How strong the signal of a gas at its explosive limit is.

    :param diffusion_coefficient: of the gas in air [cm2/s]
    :param heat: lower heat of combustion [kJ/mol]
    :param lel: lower explosive limit [%vol]
    :returns: signal, only to be compared with that of another gas [1]

    >>> signal(quantity("0.2", "cm2/s"), quantity(800, "kJ/mol"), quantity("4.4", "%vol")).magnitude
    Fraction(704, 1)
    """
    spread = amount(diffusion_coefficient, "cm2/s", "diffusion coefficient", above=0)
    return quantity(spread * amount(heat, "kJ/mol", "heat", above=0) * amount(lel, "%vol", "LEL", above=0), "")
