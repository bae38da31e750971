"""Concentrations of one gas: by volume, by mass, and as a share of its lower explosive limit."""

from __future__ import annotations

from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, magnitude, quantity
from builder.base.rounding import plain
from builder.figures.formulas.inputs import amount
from builder.figures.formulas.registry import formula

# Avogadro number times Boltzmann constant, both exact: SI brochure, 9th edition (2019), table 1. J/(mol K).
GAS_CONSTANT = Fraction("6.02214076") * Fraction("1.380649")
# Molar mass of dry air, US Standard Atmosphere 1976, table 3 (read as M0 of the `fluids` library). g/mol.
AIR_MOLAR_MASS = Fraction("28.9644")

IDEAL_GAS = "ideal gas law; R = 8.31446261815324 J/(mol K), exact in the SI brochure, 9th edition (2019), table 1"
IDEAL_RANGE = "ideal gas, 200 to 500 K and 20 to 200 kPa, up to 100 %vol"
CHART = "to nearest in charts; up where the result is a hazard, down where it is a limit"
DEFINITION = "definition of the unit"
LEL_BASIS = "definition of %LEL; the basis (table and edition) belongs beside every value"


def _litres_per_mole(temperature: Quantity, pressure: Quantity) -> Fraction:
    kelvin = amount(temperature, "K", "temperature", low=200, high=500)
    return GAS_CONSTANT * kelvin / amount(pressure, "kPa", "pressure", low=20, high=200)


def _volume(percent: Fraction) -> Quantity:
    """A volume fraction, refused above the whole."""
    if percent > 100:  # noqa: PLR2004 - the whole
        raise OutOfRangeError(f"result is {plain(percent)} %vol", "at most 100 %vol")
    return quantity(percent, "%vol")


def _percent(value: Quantity) -> Fraction:
    return amount(value, "%vol", "concentration", low=0, high=100)


def _mass(molar_mass: Quantity) -> Fraction:
    return amount(molar_mass, "g/mol", "molar mass", low=1, high=1000)


def _limit(lel: Quantity) -> Fraction:
    return amount(lel, "%vol", "LEL", above=0, high=100)


@formula(
    title="Molar volume of a gas",
    expression="Vm = R × T / p",
    source=IDEAL_GAS,
    valid=IDEAL_RANGE,
    rounding="to nearest",
)
def molar_volume(temperature: Quantity, pressure: Quantity) -> Quantity:
    """Volume of one mole at a temperature and pressure.

    :param temperature: of the gas [°C or K]
    :param pressure: absolute [kPa]
    :returns: molar volume [L/mol]

    >>> round(float(magnitude(molar_volume(quantity(25, "°C"), quantity("101.325", "kPa")), "L/mol")), 3)
    24.465
    """
    return quantity(_litres_per_mole(temperature, pressure), "L/mol")


@formula(
    title="Mass concentration from volume concentration",
    expression="mg/m³ = ppm × M / Vm",
    source=f"{IDEAL_GAS}; 29 CFR 1910.1000 Table Z-1 notes a and b",
    valid=IDEAL_RANGE,
    rounding=CHART,
)
def ppm_to_mgm3(ppm: Quantity, molar_mass: Quantity, temperature: Quantity, pressure: Quantity) -> Quantity:
    """Mass of a gas in a volume of air, from its volume fraction.

    :param ppm: concentration [ppm, ppb or %vol]
    :param molar_mass: of the gas [g/mol]
    :param temperature: of the air [°C or K]
    :param pressure: absolute [kPa]
    :returns: concentration [mg/m3]

    >>> air = quantity(25, "°C"), quantity("101.325", "kPa")
    >>> round(float(magnitude(ppm_to_mgm3(quantity(1, "ppm"), quantity("92.14", "g/mol"), *air), "mg/m3")), 2)
    3.77
    """
    grams = _percent(ppm) * 10 * _mass(molar_mass) / _litres_per_mole(temperature, pressure)
    return quantity(grams * 1000, "mg/m3")


@formula(
    title="Volume concentration from mass concentration",
    expression="ppm = mg/m³ × Vm / M",
    source=f"{IDEAL_GAS}; 29 CFR 1910.1000 Table Z-1 notes a and b",
    valid=IDEAL_RANGE,
    rounding=CHART,
)
def mgm3_to_ppm(mgm3: Quantity, molar_mass: Quantity, temperature: Quantity, pressure: Quantity) -> Quantity:
    """Volume fraction of a gas in air, from its mass in a volume.

    :param mgm3: concentration [mg/m3 or g/m3]
    :param molar_mass: of the gas [g/mol]
    :param temperature: of the air [°C or K]
    :param pressure: absolute [kPa]
    :returns: concentration [ppm]

    >>> air = quantity(20, "°C"), quantity("101.325", "kPa")
    >>> round(float(magnitude(mgm3_to_ppm(quantity(192, "mg/m3"), quantity("92.14", "g/mol"), *air), "ppm")), 1)
    50.1
    """
    grams = amount(mgm3, "g/m3", "concentration", low=0)
    return quantity(
        magnitude(_volume(grams * _litres_per_mole(temperature, pressure) / _mass(molar_mass) / 10), "ppm"), "ppm"
    )


@formula(
    title="Mass concentration from percent by volume",
    expression="g/m³ = %vol × 10 × M / Vm",
    source=IDEAL_GAS,
    valid=IDEAL_RANGE,
    rounding=CHART,
)
def vol_to_gm3(vol: Quantity, molar_mass: Quantity, temperature: Quantity, pressure: Quantity) -> Quantity:
    """Mass of a gas in a volume of air, from percent by volume.

    :param vol: concentration [%vol or ppm]
    :param molar_mass: of the gas [g/mol]
    :param temperature: of the air [°C or K]
    :param pressure: absolute [kPa]
    :returns: concentration [g/m3]

    >>> air = quantity(20, "°C"), quantity("101.325", "kPa")
    >>> round(float(magnitude(vol_to_gm3(quantity("4.4", "%vol"), quantity("16.0425", "g/mol"), *air), "g/m3")), 1)
    29.3
    """
    return quantity(magnitude(ppm_to_mgm3(vol, molar_mass, temperature, pressure), "g/m3"), "g/m3")


@formula(
    title="Percent by volume from mass concentration",
    expression="%vol = g/m³ × Vm / (10 × M)",
    source=IDEAL_GAS,
    valid=IDEAL_RANGE,
    rounding=CHART,
)
def gm3_to_vol(gm3: Quantity, molar_mass: Quantity, temperature: Quantity, pressure: Quantity) -> Quantity:
    """Percent by volume of a gas in air, from its mass in a volume.

    :param gm3: concentration [g/m3 or mg/m3]
    :param molar_mass: of the gas [g/mol]
    :param temperature: of the air [°C or K]
    :param pressure: absolute [kPa]
    :returns: concentration [%vol]

    >>> air = quantity(20, "°C"), quantity("101.325", "kPa")
    >>> round(float(magnitude(gm3_to_vol(quantity("29.34", "g/m3"), quantity("16.0425", "g/mol"), *air), "%vol")), 2)
    4.4
    """
    return quantity(magnitude(mgm3_to_ppm(gm3, molar_mass, temperature, pressure), "%vol"), "%vol")


@formula(
    title="Parts per million from percent by volume",
    expression="ppm = %vol × 10 000",
    source=DEFINITION,
    valid="0 to 100 %vol",
    rounding="exact",
)
def vol_to_ppm(vol: Quantity) -> Quantity:
    """Parts per million of a volume fraction.

    :param vol: concentration [%vol]
    :returns: concentration [ppm]

    >>> magnitude(vol_to_ppm(quantity("4.4", "%vol")), "ppm")
    Fraction(44000, 1)
    """
    return quantity(_percent(vol) * 10000, "ppm")


@formula(
    title="Percent by volume from parts per million",
    expression="%vol = ppm / 10 000",
    source=DEFINITION,
    valid="0 to 1 000 000 ppm",
    rounding="exact",
)
def ppm_to_vol(ppm: Quantity) -> Quantity:
    """Percent by volume of a volume fraction.

    :param ppm: concentration [ppm or ppb]
    :returns: concentration [%vol]

    >>> magnitude(ppm_to_vol(quantity(5000, "ppm")), "%vol")
    Fraction(1, 2)
    """
    return quantity(_percent(ppm), "%vol")


@formula(
    title="Percent by volume from percent of the lower explosive limit",
    expression="%vol = %LEL × LEL / 100",
    source=LEL_BASIS,
    valid="from 0 %LEL, up to 100 %vol",
    rounding=CHART,
)
def lel_to_vol(share: Quantity, lel: Quantity) -> Quantity:
    """Percent by volume of a share of the lower explosive limit.

    :param share: share of the limit [%LEL]
    :param lel: lower explosive limit on the basis in use [%vol]
    :returns: concentration [%vol]

    >>> magnitude(lel_to_vol(quantity(50, "%LEL"), quantity("4.4", "%vol")), "%vol")
    Fraction(11, 5)
    """
    return _volume(amount(share, "%LEL", "share", low=0) * _limit(lel) / 100)


@formula(
    title="Percent of the lower explosive limit from percent by volume",
    expression="%LEL = 100 × %vol / LEL",
    source=LEL_BASIS,
    valid="0 to 100 %vol",
    rounding="up: it is a hazard",
)
def vol_to_lel(vol: Quantity, lel: Quantity) -> Quantity:
    """Share of the lower explosive limit that a volume fraction is.

    :param vol: concentration [%vol or ppm]
    :param lel: lower explosive limit on the basis in use [%vol]
    :returns: share of the limit [%LEL]

    >>> magnitude(vol_to_lel(quantity("2.2", "%vol"), quantity(5, "%vol")), "%LEL")
    Fraction(44, 1)
    """
    return quantity(100 * _percent(vol) / _limit(lel), "%LEL")


@formula(
    title="Density relative to air",
    expression="d = M / M(air), M(air) = 28.9644 g/mol",
    source="ideal gas law at equal temperature and pressure; US Standard Atmosphere 1976, table 3, molar mass of air",
    valid="pure gas at the temperature and pressure of the air, 1 to 1000 g/mol",
    rounding="to nearest",
)
def density_to_air(molar_mass: Quantity) -> Quantity:
    """Density of a gas relative to dry air: above 1 it sinks, below 1 it rises.

    :param molar_mass: of the gas [g/mol]
    :returns: relative density [1]

    >>> round(float(magnitude(density_to_air(quantity("44.0956", "g/mol")), "")), 2)
    1.52
    """
    return quantity(_mass(molar_mass) / AIR_MOLAR_MASS, "")
