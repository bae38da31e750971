"""What check gas makes the fitted sensors show, for every cylinder that units in use are bumped with."""

from collections.abc import Iterator

from builder.base.quantity import Quantity, magnitude, quantity, same_dimension
from builder.base.record import dataclass
from builder.base.rounding import Direction, Rounding
from builder.base.rounding import printed_text as rounded
from builder.figures.figure import NO_BREAK_SPACE, Figure
from builder.figures.formulas.acceptance import expected_display, expected_lel_display, share
from builder.figures.ledger import Ledger, figures_there
from builder.figures.topics.gas_ratios import BUMP_TEST
from builder.findings.alarms import factor_on
from builder.findings.sensor_coverage import sees
from builder.program.areas import Area
from builder.program.cylinders import Component, Cylinder
from builder.program.gas_plan import cylinders_for, own_cylinder
from builder.program.inventory import Unit
from builder.program.keys.families import CYLINDER_GAS, GAS_LEL, WINDOW_EXPECTED
from builder.program.models import Model, Position
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, Sensor

EVERY_ALARM = "OSHA bulletin on verifying calibration of 26 Nov 2024; a bump test sets off every alarm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bump:
    """One sensor of one model, bumped with one cylinder by units in use."""

    cylinder: Cylinder
    model: Model
    position: Position
    sensor: Sensor
    units: tuple[Unit, ...]
    """Units in use for which this holds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What one component of a cylinder makes a sensor show."""

    component: Component
    display: Quantity
    """Exact, in the unit of the display."""
    error: Quantity
    """The part of it by which the gas may differ."""
    text: str
    """The display as printed."""
    figures: tuple[Figure, ...]
    """Figures that show it."""


def bump_tests(program: Program) -> set[str]:
    """Ids of the checks that are bump tests."""
    return {check.id for check in program.checks.values() if check.kind == BUMP_TEST}


def bump_cylinders(program: Program, unit: Unit) -> tuple[Cylinder, ...]:
    """The cylinders a unit is bumped with: those of its own that serve a bump test."""
    return cylinders_for(program, unit, BUMP_TEST)


def bumps(program: Program) -> Iterator[Bump]:
    """Every sensor that units in use bump, once a model and the cylinder that holds its gas."""
    groups: dict[tuple[tuple[str, ...], str], list[Unit]] = {}
    for unit in program.units.values():
        cylinders = tuple(cylinder.id for cylinder in bump_cylinders(program, unit))
        if unit.in_use and cylinders:
            groups.setdefault((cylinders, unit.model.value), []).append(unit)
    for (cylinders, model_id), units in groups.items():
        model = program.models[model_id]
        choice = [program.cylinders[cylinder] for cylinder in cylinders]
        for position, sensor in program.fitted(model):
            yield Bump(
                cylinder=own_cylinder(choice, sensor) or choice[0],
                model=model,
                position=position,
                sensor=sensor,
                units=tuple(units),
            )


def areas_of(program: Program, bump: Bump) -> tuple[Area, ...]:
    """Areas in which those units are used; a unit of a pool may be used wherever its model is allowed."""
    named = {area.id for unit in bump.units for area in program.areas_of_unit(unit)}
    return tuple(area for area in program.areas.values() if area.id in named)


def shown_by(ledger: Ledger, bump: Bump) -> tuple[Shown, ...]:
    """What each component that the sensor sees makes it show, taken one by one and never added up."""
    found = (_shown_by(ledger, bump, part) for part in bump.cylinder.components if sees(bump.sensor, part.gas.value))
    return tuple(shown for shown in found if shown is not None)


def _shown_by(ledger: Ledger, bump: Bump, part: Component) -> Shown | None:
    factor, unit = quantity(factor_on(bump.sensor, part.gas.value), ""), bump.position.unit
    lel = ledger.get(GAS_LEL(gas=part.gas.value))
    if bump.sensor.channel.value == FLAMMABLE:
        if lel is None:
            return None
        display = expected_lel_display(part.value.value, lel.amount, factor)
    else:
        display, lel = expected_display(part.value.value, factor), None
    if not same_dimension(display, unit):
        return None
    expected = _expected_figure(ledger, bump, part)
    figures = (expected, ledger.get(CYLINDER_GAS(cylinder=bump.cylinder.id, gas=part.gas.value)), lel)
    return Shown(
        component=part,
        display=display,
        error=share(part.uncertainty.value, display),
        text=expected.printed if expected else _text(bump, display),
        figures=tuple(figure for figure in figures if figure is not None),
    )


def _expected_figure(ledger: Ledger, bump: Bump, part: Component) -> Figure | None:
    """The figure that prints the same display, where there is one."""
    if part.gas.value != bump.sensor.calibrated_with.value:
        return None
    keys = (
        WINDOW_EXPECTED(cylinder=bump.cylinder.id, sensor=bump.sensor.id, check=check.value)
        for check in bump.cylinder.checks
    )
    return next(figures_there(ledger, keys), None)


def _text(bump: Bump, display: Quantity) -> str:
    unit = bump.position.unit
    step = magnitude(bump.position.resolution.value, unit)
    rounding = Rounding(direction=Direction.NEAREST, step=step, why="as a display shows it, to nearest")
    return f"{rounded(magnitude(display, unit), rounding)}{NO_BREAK_SPACE}{unit}"
