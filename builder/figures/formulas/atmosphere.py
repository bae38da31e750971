"""Air pressure at a height."""

from __future__ import annotations

from fractions import Fraction

from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.inputs import amount, power
from builder.figures.formulas.registry import formula

# US Standard Atmosphere 1976, read as the constants of `fluids` 1.3 (ATMOSPHERE_1976); the gas constant of air is that
# of ISO 2533:1975 and ICAO Doc 7488/3 (recalled), which the 1976 text puts 0.7 millionths higher (8314.32 / 28.9644):
SEA_LEVEL_PRESSURE = Fraction("101.325")  # kPa
SEA_LEVEL_TEMPERATURE = Fraction("288.15")  # K
LAPSE = Fraction("0.0065")  # K per geopotential metre, below 11 km
GRAVITY = Fraction("9.80665")  # m/s2
AIR_GAS_CONSTANT = Fraction("287.05287")  # J/(kg K)

STANDARD = (
    "US Standard Atmosphere 1976 as carried by the `fluids` library 1.3; up to 11 km the same as ISO 2533:1975 and "
    "ICAO Doc 7488/3, which were not opened"
)
EXPONENT = GRAVITY / (LAPSE * AIR_GAS_CONSTANT)


@formula(
    title="Pressure of the standard atmosphere at an altitude",
    expression="p = 101.325 kPa × (1 − 0.0065 H / 288.15)^5.25588",
    source=STANDARD,
    valid="geopotential altitude −2000 to 11 000 m; the day's weather moves it by some per cent",
    rounding="down where oxygen is judged; else to nearest",
)
def pressure_at_altitude(altitude: Quantity) -> Quantity:
    """Absolute pressure that the standard atmosphere has at an altitude.

    :param altitude: above sea level, geopotential; a map height differs by 1 m at 2500 m [m]
    :returns: absolute pressure [kPa]

    >>> round(float(pressure_at_altitude(quantity(1000, "m")).magnitude), 3)
    89.875
    """
    height = amount(altitude, "m", "altitude", low=-2000, high=11000)
    return quantity(SEA_LEVEL_PRESSURE * power(1 - LAPSE * height / SEA_LEVEL_TEMPERATURE, EXPONENT), "kPa")
