"""Checks with gas: stated times, and the acceptance window of every cylinder on every sensor it adjusts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from builder.base.quantity import Quantity, magnitude
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure, Input
from builder.figures.formulas import acceptance
from builder.figures.recorder import FigureRecorder, given, of
from builder.figures.roundings import display, window_bottom, window_top
from builder.program.checks import Check, Tolerance
from builder.program.cylinders import Component, Cylinder
from builder.program.sensors import FLAMMABLE, Sensor


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """One sensor kind checked with one cylinder."""

    check: Check
    cylinder: Cylinder
    sensor: Sensor
    component: Component
    tolerance: Tolerance
    unit: str
    step: Fraction


def compute(recorder: FigureRecorder) -> None:
    """Enter ``check.*`` and ``window.<cylinder>.<sensor>.<check>.*``."""
    for check in recorder.program.checks.values():
        recorder.interval(f"check.{check.id}.interval", f"{check.name} every", check.interval)
        if check.due_soon:
            recorder.interval(f"check.{check.id}.due-soon", f"{check.name} due soon", check.due_soon)
        for channel, tolerance in check.window.items():
            _stated_tolerance(recorder, check, channel, tolerance)
        if check.gas_time:
            recorder.stated(f"check.{check.id}.gas-time", f"{check.name}: how long", check.gas_time, "s")
        if check.alarms_within:
            recorder.stated(f"check.{check.id}.alarms-within", f"{check.name}: alarms within", check.alarms_within, "s")
    for cylinder in recorder.program.cylinders.values():
        for sensor in recorder.program.sensors.values():
            with recorder.at(cylinder.where):
                _expected(recorder, cylinder, sensor)


def _stated_tolerance(recorder: FigureRecorder, check: Check, channel: str, tolerance: Tolerance) -> None:
    key, label = f"check.{check.id}.window.{channel}", f"{check.name}, {channel}"
    if tolerance.absolute:
        unit = next(unit for unit in ("%LEL", "%vol", "ppm") if tolerance.absolute.text.endswith(unit))
        recorder.stated(f"{key}.absolute", f"{label}: absolute tolerance", tolerance.absolute, unit)
    if tolerance.relative:
        recorder.stated(f"{key}.relative", f"{label}: tolerance of the expected display", tolerance.relative, "%")


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
    factor = recorder.ledger.get(f"response.{sensor.id}.{sensor.calibrated_with.value}.factor")
    if component is None or display_step is None or factor is None:
        return
    unit, step = display_step
    for served in cylinder.checks:
        check = recorder.program.checks[served.value]
        tolerance = check.window.get(sensor.channel.value)
        if check.uses_gas and tolerance is not None:
            case = _Case(
                check=check,
                cylinder=cylinder,
                sensor=sensor,
                component=component,
                tolerance=tolerance,
                unit=unit,
                step=step,
            )
            _window(recorder, case, factor)


def _window(recorder: FigureRecorder, case: _Case, factor: Figure) -> None:
    key = f"window.{case.cylinder.id}.{case.sensor.id}.{case.check.id}"
    name = f"{case.check.name} of {case.sensor.name} with cylinder {case.cylinder.id}"
    expected = _display(recorder, case, factor, f"{key}.expected", f"Expected display, {name}")
    if expected is None:
        return
    deviation = _tolerance(recorder, case, expected, f"{key}.tolerance", f"Tolerance, {name}")
    low, high = acceptance.window(expected.amount, deviation.amount)
    function: Callable[..., Any] = acceptance.window
    inputs = [of(expected), of(deviation)]
    if case.check.guard == "cylinder-uncertainty":
        uncertainty = acceptance.share(case.component.uncertainty.value, expected.amount)
        low, high = acceptance.guarded_window(low, high, uncertainty)
        function = acceptance.guarded_window
        inputs.append(given("uncertainty of the gas", case.component.uncertainty))
    recorder.number(
        f"{key}.from", f"Lowest display that passes, {name}", low, case.unit, window_bottom(case.step), function, inputs
    )
    recorder.number(
        f"{key}.to", f"Highest display that passes, {name}", high, case.unit, window_top(case.step), function, inputs
    )


def _display(recorder: FigureRecorder, case: _Case, factor: Figure, key: str, label: str) -> Figure | None:
    content = recorder.ledger[f"cylinder.{case.cylinder.id}.{case.component.gas.value}"]
    rounding = display(case.step)
    if case.sensor.channel.value != FLAMMABLE:
        value = acceptance.expected_display(content.amount, factor.amount)
        return recorder.number(
            key, label, value, case.unit, rounding, acceptance.expected_display, [of(content), of(factor)]
        )
    lel = recorder.ledger.get(f"gas.{case.component.gas.value}.lel")
    if lel is None:
        return None
    value = acceptance.expected_lel_display(content.amount, lel.amount, factor.amount)
    return recorder.number(
        key, label, value, case.unit, rounding, acceptance.expected_lel_display, [of(content), of(lel), of(factor)]
    )


def _tolerance(recorder: FigureRecorder, case: _Case, expected: Figure, key: str, label: str) -> Figure:
    parts: list[Quantity] = []
    inputs: list[Input] = []
    if case.tolerance.absolute:
        parts.append(case.tolerance.absolute.value)
        inputs.append(given("absolute", case.tolerance.absolute))
    if case.tolerance.relative:
        parts.append(acceptance.share(case.tolerance.relative.value, expected.amount))
        inputs += [given("relative, of the expected display", case.tolerance.relative), of(expected)]
    rounding = Rounding(direction=Direction.DOWN, digits=3, why="a tolerance is never printed wider than it is")
    return recorder.number(key, label, acceptance.tolerance(parts), case.unit, rounding, acceptance.tolerance, inputs)
