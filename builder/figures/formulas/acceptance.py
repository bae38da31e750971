"""Checks with gas: what the display should show, how far off it may be, whether an alarm must sound."""

from __future__ import annotations

from collections.abc import Sequence

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.base.rounding import plain
from builder.figures.formulas.gas import vol_to_lel
from builder.figures.formulas.inputs import amount, amounts, kind_of, optional
from builder.figures.formulas.registry import COMMON_PRACTICE, formula
from builder.figures.formulas.response import display_at_limit

OFFSHORE = "form of 30 CFR 250.490(j)(6)(ii): 2 ppm or 10 %, whichever is greater"
GUARD = "JCGM 106:2012, 8.3.2: guarded acceptance, guard band of one expanded uncertainty"


@formula(
    title="Expected display of a cylinder in the display's own unit",
    expression="display = concentration / factor",
    source=COMMON_PRACTICE,
    valid="gas and display in one unit; factor of the cylinder's gas on the sensor, above zero",
    rounding="to the display's step, to nearest; the window around it inward",
)
def expected_display(applied: Quantity, factor: Quantity) -> Quantity:
    """What a display in ppm or %vol should show while the cylinder flows.

    :param applied: certified concentration [%LEL, %vol, ppm or mg/m3]
    :param factor: multiplies the reading; 1 for the gas the display is scaled in [1]
    :returns: expected display [%LEL, %vol, ppm or mg/m3]

    >>> expected_display(quantity(25, "ppm"), quantity(1, ""))
    Quantity(magnitude=Fraction(25, 1), unit='ppm')
    """
    return display_at_limit(applied, factor)


@formula(
    title="Expected display of a cylinder in %LEL",
    expression="display = 100 × %vol / LEL / factor",
    source=COMMON_PRACTICE,
    valid="LEL of the cylinder's gas on the basis in use; factor of that gas on the sensor, above zero",
    rounding="to the display's step, to nearest; the window around it inward",
)
def expected_lel_display(applied: Quantity, lel: Quantity, factor: Quantity) -> Quantity:
    """What a display in %LEL should show while the cylinder flows.

    :param applied: certified concentration [%vol or ppm]
    :param lel: lower explosive limit of the cylinder's gas [%vol]
    :param factor: multiplies the reading; 1 for the gas the display is scaled in [1]
    :returns: expected display [%LEL]

    >>> expected_lel_display(quantity("2.2", "%vol"), quantity("4.4", "%vol"), quantity(1, ""))
    Quantity(magnitude=Fraction(50, 1), unit='%LEL')
    """
    return display_at_limit(vol_to_lel(applied, lel), factor)


@formula(
    title="A percentage of a point, of the full scale, or of a certified value",
    expression="part = percent × whole / 100",
    source="definition of a percentage; say of what",
    valid="0 to 100 % of a value not below zero",
    rounding="down where it is a tolerance, up where it is an uncertainty",
)
def share(percent: Quantity, whole: Quantity) -> Quantity:
    """So many percent of a stated whole: of the point tested, of the range, of a bottle's content.

    :param percent: how much of it [% or 1]
    :param whole: of what: point, full scale or certified value [%LEL, %vol, ppm or mg/m3]
    :returns: the part [%LEL, %vol, ppm or mg/m3]

    >>> share(quantity(10, "%"), quantity(500, "ppm"))
    Quantity(magnitude=Fraction(50, 1), unit='ppm')
    """
    unit = kind_of(whole)
    return quantity(amount(percent, "", "percentage", low=0, high=1) * amount(whole, unit, "whole", low=0), unit)


@formula(
    title="Permitted deviation at a point",
    expression="tolerance = largest of the stated parts: max(absolute, percent of point, percent of range)",
    source=OFFSHORE,
    valid='rules that say "whichever is greater"; percent of the reading makes a window of its own',
    rounding="down: it is a tolerance",
)
def tolerance(parts: Sequence[Quantity]) -> Quantity:
    """The greater of an absolute and a relative deviation.

    :param parts: each deviation that the rule allows, already in display units [%LEL, %vol, ppm or mg/m3]
    :returns: permitted deviation [%LEL, %vol, ppm or mg/m3]

    >>> tolerance([quantity(2, "ppm"), share(quantity(10, "%"), quantity(25, "ppm"))])
    Quantity(magnitude=Fraction(5, 2), unit='ppm')
    """
    if not parts:
        raise OutOfRangeError("no deviation given", "one or more")
    unit = kind_of(parts[0])
    return quantity(max(amounts(parts, unit, "deviation")), unit)


@formula(
    title="Acceptance window around a point",
    expression="from point − tolerance to point + tolerance",
    source=OFFSHORE,
    valid="absolute deviations, percent of point and percent of range; may reach below zero at a zero check",
    rounding="inward: lower edge up, upper edge down",
)
def window(expected: Quantity, deviation: Quantity) -> tuple[Quantity, Quantity]:
    """Readings that pass, before the uncertainty of the gas is taken off.

    :param expected: expected display [%LEL, %vol, ppm or mg/m3]
    :param deviation: permitted [%LEL, %vol, ppm or mg/m3]
    :returns: lower and upper edge [%LEL, %vol, ppm or mg/m3]

    >>> [str(edge.magnitude) for edge in window(quantity(25, "ppm"), quantity("2.5", "ppm"))]
    ['45/2', '55/2']
    """
    unit = kind_of(expected)
    point, half = amount(expected, unit, "expected display", low=0), amount(deviation, unit, "deviation", low=0)
    return quantity(point - half, unit), quantity(point + half, unit)


@formula(
    title="Acceptance window with the uncertainty taken off",
    expression="from lower edge + U to upper edge − U",
    source=GUARD,
    valid="expanded uncertainty smaller than half the window",
    rounding="inward: lower edge up, upper edge down",
    read=False,
)
def guarded_window(low: Quantity, high: Quantity, uncertainty: Quantity) -> tuple[Quantity, Quantity]:
    """Readings that pass even when the gas is as wrong as its certificate allows.

    :param low: lower edge [%LEL, %vol, ppm or mg/m3]
    :param high: upper edge [%LEL, %vol, ppm or mg/m3]
    :param uncertainty: expanded, in display units [%LEL, %vol, ppm or mg/m3]
    :returns: lower and upper edge [%LEL, %vol, ppm or mg/m3]

    >>> edges = guarded_window(quantity(90, "ppm"), quantity(110, "ppm"), quantity(5, "ppm"))
    >>> [str(edge.magnitude) for edge in edges]
    ['95', '105']
    """
    unit = kind_of(low)
    band = amount(uncertainty, unit, "uncertainty", low=0)
    bottom, top = amount(low, unit, "lower edge") + band, amount(high, unit, "upper edge") - band
    if bottom > top:
        raise OutOfRangeError(f"uncertainty {plain(band)} {unit} leaves no window", "at most half its width")
    return quantity(bottom, unit), quantity(top, unit)


@formula(
    title="Permitted error on the narrower side of a window",
    expression="smaller of (upper edge − expected) and (expected − lower edge)",
    source="geometry of an interval",
    valid="expected display inside the window or at its edge",
    rounding="down: it is a tolerance",
)
def half_width(expected: Quantity, low: Quantity, high: Quantity) -> Quantity:
    """How far a reading may lie from the expected display on either side and still pass.

    :param expected: expected display [%LEL, %vol, ppm or mg/m3]
    :param low: lower edge [%LEL, %vol, ppm or mg/m3]
    :param high: upper edge [%LEL, %vol, ppm or mg/m3]
    :returns: permitted error; zero or less where the window lies to one side [%LEL, %vol, ppm or mg/m3]

    >>> half_width(quantity(25, "ppm"), quantity(22, "ppm"), quantity(27, "ppm"))
    Quantity(magnitude=Fraction(2, 1), unit='ppm')
    """
    unit = kind_of(expected)
    point = amount(expected, unit, "expected display")
    return quantity(min(amount(high, unit, "upper edge") - point, point - amount(low, unit, "lower edge")), unit)


@formula(
    title="Whether a gas must set off an alarm",
    expression="rising: display − error ≥ (or >) setpoint; falling: display + error ≤ (or <) setpoint",
    source=COMMON_PRACTICE,
    valid="display in range; where it is not known whether the alarm fires at its setpoint, it is taken not to",
    rounding="not rounded; a tie answers as the alarm is built",
)
def alarm_trips(
    display: Quantity,
    setpoint: Quantity,
    *,
    fires_at_setpoint: bool = False,
    falling: bool = False,
    error: Quantity | None = None,
) -> bool:
    """Whether the alarm sounds even when gas and instrument err the wrong way.

    :param display: expected while the gas flows [%LEL, %vol, ppm or mg/m3]
    :param setpoint: of the alarm [%LEL, %vol, ppm or mg/m3]
    :param fires_at_setpoint: whether it fires at its setpoint and not only beyond [yes or no]
    :param falling: whether it is an alarm for too little [yes or no]
    :param error: of gas and instrument together [%LEL, %vol, ppm or mg/m3]
    :returns: whether it must sound [yes or no]

    >>> alarm_trips(quantity(18, "%vol"), quantity("19.5", "%vol"), falling=True, error=quantity("0.5", "%vol"))
    True
    """
    unit = kind_of(setpoint)
    beyond = amount(display, unit, "display", low=0) - amount(setpoint, unit, "setpoint", low=0)
    beyond = (-beyond if falling else beyond) - amount(optional(error, unit), unit, "error", low=0)
    return beyond > 0 or (fires_at_setpoint and beyond == 0)


@formula(
    title="Strength of check gas against an alarm",
    expression="ratio = gas / alarm",
    source="BG RCI FAQ 2.9: 1.2 to 2.0 × the highest alarm; oxygen not under 0.9 × the lowest alarm",
    valid="alarm above zero; gas and alarm as displayed, in one unit",
    rounding="down against its lower bound, up against its upper bound",
)
def bump_ratio(gas: Quantity, alarm: Quantity) -> Quantity:
    """How many times the alarm setpoint the check gas is.

    :param gas: as displayed [%LEL, %vol, ppm or mg/m3]
    :param alarm: highest setpoint of a rising alarm, or lowest of oxygen [%LEL, %vol, ppm or mg/m3]
    :returns: ratio [1]

    >>> float(bump_ratio(quantity(25, "ppm"), quantity(20, "ppm")).magnitude)
    1.25
    """
    unit = kind_of(alarm)
    return quantity(amount(gas, unit, "gas", low=0) / amount(alarm, unit, "alarm", above=0), "")
