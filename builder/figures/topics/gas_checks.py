"""Checks with gas: stated times, and the acceptance window of every cylinder on every sensor it adjusts."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from builder.base.quantity import magnitude
from builder.base.record import dataclass
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure
from builder.figures.formulas import acceptance
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import display, window_bottom, window_top
from builder.figures.terms import Term, exactly, written
from builder.program.checks import Check
from builder.program.cylinders import Component, Cylinder
from builder.program.keys import families as keyed
from builder.program.keys.family import Family
from builder.program.models import READS_IN
from builder.program.sensors import FLAMMABLE, Sensor
from builder.program.tolerance import Tolerance


@dataclass(frozen=True, slots=True, kw_only=True)
class _GasCheck:
    """One sensor kind checked with one cylinder."""

    check: Check
    cylinder: Cylinder
    sensor: Sensor
    component: Component
    tolerance: Tolerance
    unit: str
    step: Fraction

    @property
    def guarded(self) -> bool:
        """Whether the uncertainty of the gas is taken off the window."""
        return self.check.guard == "cylinder-uncertainty"


NARROWER = Rounding(direction=Direction.DOWN, digits=3, why="a tolerance is never printed wider than it is")


def compute(recorder: FigureRecorder) -> None:
    """Enter ``check.*`` and ``window.<cylinder>.<sensor>.<check>.*``."""
    for check in recorder.program.checks.values():
        recorder.interval(keyed.CHECK_INTERVAL(check=check.id), f"{check.name} every", check.interval)
        if check.due_soon:
            recorder.interval(keyed.CHECK_DUE_SOON(check=check.id), f"{check.name} due soon", check.due_soon)
        for channel, tolerance in check.window.items():
            _stated_tolerance(recorder, check, channel, tolerance)
        recorder.each_stated(
            (keyed.CHECK_GAS_TIME, f"{check.name}: how long", check.gas_time, "s"),
            (keyed.CHECK_ALARMS_WITHIN, f"{check.name}: alarms within", check.alarms_within, "s"),
            check=check.id,
        )
    for cylinder in recorder.program.cylinders.values():
        for sensor in recorder.program.sensors.values():
            with recorder.at(cylinder.where):
                _expected(recorder, cylinder, sensor)


def _stated_tolerance(recorder: FigureRecorder, check: Check, channel: str, tolerance: Tolerance) -> None:
    label, given = f"{check.name}, {channel}", tolerance.absolute
    unit = next(unit for unit in READS_IN if given.text.endswith(unit)) if given else ""
    recorder.each_stated(
        (keyed.CHECK_WINDOW_ABSOLUTE, f"{label}: absolute tolerance", given, unit),
        (keyed.CHECK_WINDOW_RELATIVE, f"{label}: tolerance of the expected display", tolerance.relative, "%"),
        check=check.id,
        channel=channel,
    )


def step_of(recorder: FigureRecorder, sensor: Sensor) -> tuple[str, Fraction] | None:
    """Unit and coarsest resolution of a sensor kind over all models that have it, or ``None`` when none has."""
    fitted = [
        position
        for model in recorder.program.models.values()
        for position in model.positions
        if position.sensor.value == sensor.id
    ]
    if not fitted:
        return None
    unit = fitted[0].unit
    return unit, max(magnitude(position.resolution.value, unit) for position in fitted)


def _expected(recorder: FigureRecorder, cylinder: Cylinder, sensor: Sensor) -> None:
    component = cylinder.component(sensor.calibrated_with.value)
    display_step = step_of(recorder, sensor)
    factor = recorder.ledger.get(keyed.FACTOR(sensor=sensor.id, gas=sensor.calibrated_with.value))
    if component is None or display_step is None or factor is None:
        return
    unit, step = display_step
    for served in cylinder.checks:
        check = recorder.program.checks[served.value]
        tolerance = check.window.get(sensor.channel.value)
        if check.uses_gas and tolerance is not None:
            case = _GasCheck(
                check=check,
                cylinder=cylinder,
                sensor=sensor,
                component=component,
                tolerance=tolerance,
                unit=unit,
                step=step,
            )
            _window(recorder, case, factor)


def _window(recorder: FigureRecorder, case: _GasCheck, factor: Figure) -> None:
    key = keyed.WINDOW_EXPECTED.start(cylinder=case.cylinder.id, sensor=case.sensor.id, check=case.check.id)
    name = f"{case.check.name} of {case.sensor.name} with cylinder {case.cylinder.id}"
    expected = _display(recorder, case, factor, keyed.WINDOW_EXPECTED.on(key), f"Expected display, {name}")
    if expected is None:
        return
    deviation = _tolerance(recorder, case, expected, keyed.WINDOW_TOLERANCE.on(key), f"Tolerance, {name}")
    unguarded = [exactly(expected), exactly(deviation)]
    edges = _edges(recorder, case, (key, name), UNGUARDED if case.guarded else EDGES, acceptance.window, unguarded)
    if case.guarded:
        uncertainty = recorder.derived(
            keyed.WINDOW_UNCERTAINTY.on(key),
            f"Uncertainty of the gas at the expected display, {name}",
            case.unit,
            Rounding(direction=Direction.UP, digits=3, why="an uncertainty is never printed smaller than it is"),
            acceptance.share,
            written("uncertainty of the gas", case.component.uncertainty),
            expected,
        )
        terms = [*(exactly(edge) for edge in edges), exactly(uncertainty)]
        edges = _edges(recorder, case, (key, name), EDGES, acceptance.guarded_window, terms)
    label = f"Permitted error on the narrower side, {name}"
    recorder.derived(
        keyed.WINDOW_HALF_WIDTH.on(key), label, case.unit, NARROWER, acceptance.half_width, expected, *edges
    )


Edges = tuple[tuple[Family, str], tuple[Family, str]]
EDGES: Edges = (
    (keyed.WINDOW_FROM, "Lowest display that passes"),
    (keyed.WINDOW_TO, "Highest display that passes"),
)
UNGUARDED: Edges = (
    (keyed.WINDOW_UNGUARDED_FROM, "Lower edge before the gas's uncertainty is taken off"),
    (keyed.WINDOW_UNGUARDED_TO, "Upper edge before the gas's uncertainty is taken off"),
)
"""The edges before that, where it is taken off."""


def _edges(
    recorder: FigureRecorder,
    case: _GasCheck,
    named: tuple[str, str],
    edges: Edges,
    function: Callable[..., Any],
    terms: list[Term],
) -> list[Figure]:
    """Both edges of a window, by the start of their keys and its name."""
    (key, name), roundings = named, (window_bottom(case.step), window_top(case.step))
    return [
        recorder.derived(family.on(key), f"{words}, {name}", case.unit, roundings[part], function, *terms, part=part)
        for part, (family, words) in enumerate(edges)
    ]


def _display(recorder: FigureRecorder, case: _GasCheck, factor: Figure, key: str, label: str) -> Figure | None:
    content = exactly(recorder.ledger[keyed.CYLINDER_GAS(cylinder=case.cylinder.id, gas=case.component.gas.value)])
    rounding = display(case.step)
    if case.sensor.channel.value != FLAMMABLE:
        return recorder.derived(key, label, case.unit, rounding, acceptance.expected_display, content, factor)
    lel = recorder.ledger.get(keyed.GAS_LEL(gas=case.component.gas.value))
    if lel is None:
        return None
    return recorder.derived(key, label, case.unit, rounding, acceptance.expected_lel_display, content, lel, factor)


def _tolerance(recorder: FigureRecorder, case: _GasCheck, expected: Figure, key: str, label: str) -> Figure:
    parts: list[Term] = []
    if case.tolerance.absolute:
        parts.append(written("absolute", case.tolerance.absolute))
    if case.tolerance.relative:
        share = recorder.derived(
            keyed.WINDOW_RELATIVE_TOLERANCE.on(key),
            f"{label}, as a share of the expected display",
            case.unit,
            NARROWER,
            acceptance.share,
            written("relative, of the expected display", case.tolerance.relative),
            expected,
        )
        parts.append(exactly(share))
    return recorder.derived(key, label, case.unit, NARROWER, acceptance.tolerance, parts)
