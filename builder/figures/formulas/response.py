"""One gas seen through a sensor that is calibrated with another: factors, always "true value = reading × factor"."""

from __future__ import annotations

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.base.rounding import plain
from builder.figures.formulas.gas import lel_to_vol, vol_to_lel
from builder.figures.formulas.inputs import amount, factor_of, kind_of
from builder.figures.formulas.registry import COMMON_PRACTICE, formula

OWN_SENSOR = "factor of this sensor model and this calibration gas, above zero; reading in range and not below zero"


@formula(
    title="True value behind a reading",
    expression="true = reading × factor",
    source=COMMON_PRACTICE,
    valid=OWN_SENSOR,
    rounding="up: it is a hazard",
)
def true_value(reading: Quantity, factor: Quantity) -> Quantity:
    """What is really there; also what is there when an alarm sounds, with its setpoint as the reading.

    :param reading: display or setpoint [%LEL, %vol, ppm or mg/m3]
    :param factor: multiplies the reading [1]
    :returns: true value of the gas present [%LEL, %vol, ppm or mg/m3]

    >>> true_value(quantity(10, "%LEL"), quantity("1.9", ""))
    Quantity(magnitude=Fraction(19, 1), unit='%LEL')
    """
    unit = kind_of(reading)
    return quantity(amount(reading, unit, "reading", low=0) * factor_of(factor), unit)


@formula(
    title="Display at which a true limit is reached",
    expression="display = limit / factor",
    source=COMMON_PRACTICE,
    valid=OWN_SENSOR,
    rounding="down: it is a limit; check again with the factor applied back",
)
def display_at_limit(limit: Quantity, factor: Quantity) -> Quantity:
    """What the display shows when the true value reaches a limit.

    :param limit: true value not to be passed [%LEL, %vol, ppm or mg/m3]
    :param factor: multiplies the reading [1]
    :returns: reading [%LEL, %vol, ppm or mg/m3]

    >>> display_at_limit(quantity(10, "%LEL"), quantity("1.9", ""))
    Quantity(magnitude=Fraction(100, 19), unit='%LEL')
    """
    unit = kind_of(limit)
    return quantity(amount(limit, unit, "limit", low=0) / factor_of(factor), unit)


@formula(
    title="Setpoint that keeps the true value below a limit",
    expression="setpoint = limit / factor − error",
    source=COMMON_PRACTICE,
    valid="as for the display at a limit; the error taken off leaves something above zero",
    rounding="down to the display's step for a rising alarm; check again with the factor applied back",
)
def setpoint_display(limit: Quantity, factor: Quantity, error: Quantity) -> Quantity:
    """Rising alarm setpoint, with the instrument's error and ageing taken off in display units.

    :param limit: true value not to be passed [%LEL, %vol, ppm or mg/m3]
    :param factor: multiplies the reading; the largest of the gases to be protected against [1]
    :param error: how far the display may lie too low, with ageing [%LEL, %vol, ppm or mg/m3]
    :returns: setpoint [%LEL, %vol, ppm or mg/m3]

    >>> setpoint_display(quantity(10, "%LEL"), quantity(2, ""), quantity(1, "%LEL"))
    Quantity(magnitude=Fraction(4, 1), unit='%LEL')
    """
    unit = kind_of(limit)
    display = amount(display_at_limit(limit, factor), unit, "display")
    setpoint = display - amount(error, unit, "error", low=0)
    if setpoint <= 0:
        raise OutOfRangeError(f"setpoint would be {plain(setpoint)} {unit}", f"above 0 {unit}")
    return quantity(setpoint, unit)


@formula(
    title="Setpoint that sounds before too little is there",
    expression="setpoint = limit + error",
    source=COMMON_PRACTICE,
    valid="oxygen, which a display shows itself, so that no factor stands between",
    rounding="up to the display's step: a falling alarm sounds earlier, never later",
)
def falling_setpoint(limit: Quantity, error: Quantity) -> Quantity:
    """Falling alarm setpoint, with the instrument's error and ageing added in display units.

    :param limit: true value that must not be fallen below [%LEL, %vol, ppm or mg/m3]
    :param error: how far the display may lie too high, with ageing [%LEL, %vol, ppm or mg/m3]
    :returns: setpoint [%LEL, %vol, ppm or mg/m3]

    >>> falling_setpoint(quantity("19.5", "%vol"), quantity("0.3", "%vol"))
    Quantity(magnitude=Fraction(99, 5), unit='%vol')
    """
    unit = kind_of(limit)
    return quantity(amount(limit, unit, "limit", low=0) + amount(error, unit, "error", low=0), unit)


@formula(
    title="Volume concentration of the real gas at a displayed %LEL",
    expression="%vol = display × factor × LEL / 100",
    source=COMMON_PRACTICE,
    valid=f"{OWN_SENSOR}; LEL of the real gas on the basis in use",
    rounding="up: it is a hazard",
)
def vol_at_display(display: Quantity, factor: Quantity, lel: Quantity) -> Quantity:
    """How much of the real gas is there when the display shows a share of the explosive limit.

    :param display: reading [%LEL]
    :param factor: multiplies the reading [1]
    :param lel: lower explosive limit of the real gas [%vol]
    :returns: concentration of the real gas [%vol]

    >>> vol_at_display(quantity(10, "%LEL"), quantity(2, ""), quantity("1.7", "%vol"))
    Quantity(magnitude=Fraction(17, 50), unit='%vol')
    """
    return lel_to_vol(true_value(quantity(amount(display, "%LEL", "display"), "%LEL"), factor), lel)


@formula(
    title="Response factor for another calibration gas",
    expression="factor on B = factor on A / factor of B on A",
    source=COMMON_PRACTICE,
    valid="both factors from one table of one sensor model, above zero",
    rounding="up: it multiplies a reading of a hazard",
)
def rebased_factor(factor: Quantity, new_reference: Quantity) -> Quantity:
    """A factor relative to one calibration gas, made relative to another gas of the same table.

    :param factor: of the gas, relative to the old calibration gas [1]
    :param new_reference: factor of the new calibration gas, relative to the old one [1]
    :returns: factor of the gas relative to the new calibration gas [1]

    >>> rebased_factor(quantity("2.6", ""), quantity("1.3", ""))
    Quantity(magnitude=Fraction(2, 1), unit='')
    """
    return quantity(factor_of(factor) / factor_of(new_reference, "factor of the new calibration gas"), "")


@formula(
    title="Response factor from relative response",
    expression="factor = 1 / relative response",
    source=COMMON_PRACTICE,
    valid="relative response of this sensor model to equal shares of both gases, above zero",
    rounding="up: it multiplies a reading of a hazard",
)
def factor_from_relative(response: Quantity) -> Quantity:
    """The number that multiplies the reading, from a table that prints how strongly the sensor responds.

    :param response: signal of the gas divided by that of the calibration gas [1 or %]
    :returns: factor that multiplies the reading [1]

    >>> factor_from_relative(quantity(50, "%"))
    Quantity(magnitude=Fraction(2, 1), unit='')
    """
    return quantity(1 / factor_of(response, "relative response"), "")


@formula(
    title="Span value when another gas stands in for the target",
    expression="span value = concentration of the simulant × factor of the target on the simulant",
    source=COMMON_PRACTICE,
    valid="factor of this sensor model for the target, with the simulant as calibration gas, above zero",
    rounding="up: a display that is spanned too low reads too low",
)
def simulant_span(applied: Quantity, factor: Quantity) -> Quantity:
    """What to set the display to while the simulant flows, so that it reads the target gas directly.

    :param applied: concentration of the simulant in the cylinder [%LEL, %vol, ppm or mg/m3]
    :param factor: of the target gas, relative to the simulant [1]
    :returns: span value, as the target gas [%LEL, %vol, ppm or mg/m3]

    >>> simulant_span(quantity(100, "ppm"), quantity("0.5", ""))
    Quantity(magnitude=Fraction(50, 1), unit='ppm')
    """
    return true_value(applied, factor)


@formula(
    title="Span value in %LEL when another gas stands in for the target",
    expression="span value = 100 × %vol of the simulant / its LEL × factor of the target on the simulant",
    source=COMMON_PRACTICE,
    valid="LEL of the simulant on the basis in use; factor of this sensor model with the simulant as calibration gas",
    rounding="up: a display that is spanned too low reads too low",
)
def simulant_lel_span(applied: Quantity, lel: Quantity, factor: Quantity) -> Quantity:
    """Value to enter for a %LEL display when it is calibrated with another gas than it shows.

    :param applied: concentration of the simulant in the cylinder [%vol or ppm]
    :param lel: lower explosive limit of the simulant [%vol]
    :param factor: of the target gas, relative to the simulant [1]
    :returns: span value, as the target gas [%LEL]

    >>> span = simulant_lel_span(quantity("2.2", "%vol"), quantity("4.4", "%vol"), quantity("1.5", ""))
    >>> span
    Quantity(magnitude=Fraction(75, 1), unit='%LEL')
    """
    return simulant_span(vol_to_lel(applied, lel), factor)


@formula(
    title="Whether a lamp can ionise a gas",
    expression="lamp energy > ionisation energy",
    source="photoionisation: a photon must carry more than the ionisation energy of the molecule",
    valid="photoionisation; near the threshold the response is weak, so equal counts as no",
    rounding="not rounded; equal energies answer no",
)
def lamp_can_ionise(lamp: Quantity, ionisation_energy: Quantity) -> bool:
    """Whether a photoionisation lamp sees a gas at all.

    :param lamp: energy of the lamp's photons [eV]
    :param ionisation_energy: of the gas [eV]
    :returns: whether the gas is seen [yes or no]

    >>> lamp_can_ionise(quantity("10.6", "eV"), quantity("9.24", "eV"))
    True
    """
    photon = amount(lamp, "eV", "lamp energy", above=0)
    return photon > amount(ionisation_energy, "eV", "ionisation energy", above=0)
