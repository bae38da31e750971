"""Oxygen as the body and the sensor meet it: partial pressure, moisture, displacement."""

from __future__ import annotations

from fractions import Fraction

from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.atmosphere import SEA_LEVEL_PRESSURE
from builder.figures.formulas.inputs import amount, exponential, optional
from builder.figures.formulas.registry import formula

# Oxygen in clean air as instruments are set; the dry standard atmosphere has 20.9476 %vol (US Standard Atmosphere 1976,
# table 3, recalled). %vol.
CLEAN_AIR = Fraction("20.9")
# Buck, Journal of Applied Meteorology 20 (1981) 1527-1532, form ew1 over water, recalled: hPa, none, degrees Celsius.
BUCK = Fraction("6.1121"), Fraction("17.502"), Fraction("240.97")

OXYGEN_SIDE = "down where deficiency is the risk, up where enrichment is"


@formula(
    title="Pressure of the water vapour in air",
    expression="e = RH / 100 × 6.1121 hPa × exp(17.502 t / (240.97 + t))",
    source="Buck, Journal of Applied Meteorology 20 (1981) 1527-1532, form ew1",
    valid="−20 to 50 °C, 0 to 100 % relative humidity, over water",
    rounding="up where it lowers oxygen",
    read=False,
)
def water_vapour(temperature: Quantity, humidity: Quantity) -> Quantity:
    """Partial pressure of water vapour at a temperature and relative humidity.

    :param temperature: of the air [°C]
    :param humidity: relative [%]
    :returns: partial pressure [kPa]

    >>> round(float(water_vapour(quantity(20, "°C"), quantity(100, "%")).magnitude), 2)
    2.34
    """
    degrees = amount(temperature, "°C", "temperature", low=-20, high=50)
    share = amount(humidity, "%", "humidity", low=0, high=100)
    scale, slope, offset = BUCK
    return quantity(share / 100 * scale / 10 * exponential(slope * degrees / (offset + degrees)), "kPa")


@formula(
    title="Partial pressure of oxygen",
    expression="pO2 = O2 / 100 × (p − e)",
    source="Dalton's law of partial pressures",
    valid="1 to 1000 kPa; oxygen as part of the dry air, or no water vapour where it is part of the air as it is",
    rounding=OXYGEN_SIDE,
)
def partial_pressure(oxygen: Quantity, pressure: Quantity, vapour: Quantity | None = None) -> Quantity:
    """What drives oxygen into the blood, and into a partial-pressure sensor.

    :param oxygen: part of the dry air [%vol]
    :param pressure: of the air, absolute [kPa]
    :param vapour: partial pressure of water vapour, none when left out [kPa]
    :returns: partial pressure [kPa]

    >>> partial_pressure(quantity("20.9", "%vol"), quantity(100, "kPa"), quantity(2, "kPa"))
    Quantity(magnitude=Fraction(10241, 500), unit='kPa')
    """
    share = amount(oxygen, "%vol", "oxygen", low=0, high=100)
    air = amount(pressure, "kPa", "pressure", low=1, high=1000)
    wet = amount(optional(vapour, "kPa"), "kPa", "water vapour", low=0, high=air)
    return quantity(share / 100 * (air - wet), "kPa")


@formula(
    title="Oxygen at sea level that has the same partial pressure",
    expression="O2 at sea level = O2 × p / 101.325 kPa",
    source="Dalton's law of partial pressures; sea-level pressure of ISO 2533:1975",
    valid="1 to 1000 kPa, up to 100 %vol",
    rounding=OXYGEN_SIDE,
)
def sea_level_equivalent(oxygen: Quantity, pressure: Quantity) -> Quantity:
    """What a percentage at this pressure means for the body, put as a percentage at sea level.

    :param oxygen: as measured here [%vol]
    :param pressure: of the air here, absolute [kPa]
    :returns: percentage at 101.325 kPa with the same partial pressure [%vol]

    >>> sea_level_equivalent(quantity("20.9", "%vol"), quantity("101.325", "kPa"))
    Quantity(magnitude=Fraction(209, 10), unit='%vol')
    """
    share = amount(oxygen, "%vol", "oxygen", low=0, high=100)
    air = amount(pressure, "kPa", "pressure", low=1, high=1000)
    result = quantity(share * air / SEA_LEVEL_PRESSURE, "%vol")
    amount(result, "%vol", "equivalent", high=100)
    return result


def _clean(before: Quantity | None) -> Fraction:
    return amount(quantity(CLEAN_AIR, "%vol") if before is None else before, "%vol", "oxygen before", above=0, high=100)


@formula(
    title="Oxygen left when a gas displaces air",
    expression="O2 = O2 before × (1 − gas / 100), 20.9 %vol before unless said",
    source="conservation of volume",
    valid="well mixed; the gas brings no oxygen",
    rounding="down: deficiency is the risk",
)
def after_displacement(gas: Quantity, before: Quantity | None = None) -> Quantity:
    """Oxygen in air into which another gas has come.

    :param gas: concentration of the gas that came in [%vol or ppm]
    :param before: oxygen before, 20.9 %vol when left out [%vol]
    :returns: oxygen [%vol]

    >>> after_displacement(quantity(10, "%vol"))
    Quantity(magnitude=Fraction(1881, 100), unit='%vol')
    """
    return quantity(_clean(before) * (1 - amount(gas, "%vol", "gas", low=0, high=100) / 100), "%vol")


@formula(
    title="Gas that a fall of the oxygen reading can mean",
    expression="gas = 100 × fall / O2 before, 20.9 %vol before unless said",
    source="conservation of volume",
    valid="well mixed; the gas brings no oxygen, and none was used up; fall at most the oxygen before",
    rounding="up: it is a hazard",
)
def displacement_from_drop(drop: Quantity, before: Quantity | None = None) -> Quantity:
    """How much other gas a fall of the oxygen reading by so much stands for.

    :param drop: fall of the reading [%vol]
    :param before: oxygen before, 20.9 %vol when left out [%vol]
    :returns: concentration of the gas that came in [%vol]

    >>> displacement_from_drop(quantity("2.09", "%vol"))
    Quantity(magnitude=Fraction(10, 1), unit='%vol')
    """
    clean = _clean(before)
    return quantity(100 * amount(drop, "%vol", "fall of oxygen", low=0, high=clean) / clean, "%vol")


@formula(
    title="Gas that must have come in for oxygen to fall",
    expression="gas = 100 × (1 − O2 / O2 before), 20.9 %vol before unless said",
    source="conservation of volume",
    valid="well mixed; the gas brings no oxygen, and none was used up; oxygen at most as before",
    rounding="up: it is a hazard",
)
def displacing_gas(oxygen: Quantity, before: Quantity | None = None) -> Quantity:
    """How much other gas a fall of the oxygen reading stands for.

    :param oxygen: as measured [%vol]
    :param before: oxygen before, 20.9 %vol when left out [%vol]
    :returns: concentration of the gas that came in [%vol]

    >>> displacing_gas(quantity("18.81", "%vol"))
    Quantity(magnitude=Fraction(10, 1), unit='%vol')
    """
    clean = _clean(before)
    fall = clean - amount(oxygen, "%vol", "oxygen", low=0, high=clean)
    return displacement_from_drop(quantity(fall, "%vol"), quantity(clean, "%vol"))
