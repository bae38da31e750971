"""Span value to enter when the gas in the cylinder is not the one the display shows."""

from collections.abc import Callable
from typing import Any

from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure
from builder.figures.formulas import response
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import hazard_digits
from builder.figures.terms import exactly
from builder.figures.topics.gas_checks import step_of
from builder.program.cylinders import Cylinder
from builder.program.keys.families import CYLINDER_GAS, FACTOR, FACTOR_ON_SIMULANT, GAS_LEL, SPAN_ENTER
from builder.program.sensors import FLAMMABLE, Sensor

DIGITS = 3


def compute(recorder: FigureRecorder) -> None:
    """Enter ``response.<sensor>.<gas>.on-simulant`` and ``span.<cylinder>.<sensor>.enter``."""
    for sensor in recorder.program.sensors.values():
        simulant = sensor.calibrated_with.value
        stated = recorder.ledger.get(FACTOR(sensor=sensor.id, gas=simulant))
        if simulant == sensor.shows.value or stated is None:
            continue
        factor = _factor(recorder, sensor, stated)
        for cylinder in recorder.program.cylinders.values():
            with recorder.at(cylinder.where):
                _enter(recorder, cylinder, sensor, factor)


def _factor(recorder: FigureRecorder, sensor: Sensor, stated: Figure) -> Figure:
    shown = sensor.shows.value
    names = recorder.program.gases[shown].name, recorder.program.gases[sensor.calibrated_with.value].name
    return recorder.derived(
        FACTOR_ON_SIMULANT(sensor=sensor.id, gas=shown),
        f"Response factor of {names[0]} on {sensor.name}, with {names[1]} as calibration gas",
        "",
        hazard_digits(DIGITS),
        response.rebased_factor,
        recorder.ledger[FACTOR(sensor=sensor.id, gas=shown)],
        stated,
    )


def _enter(recorder: FigureRecorder, cylinder: Cylinder, sensor: Sensor, factor: Figure) -> None:
    held, display = cylinder.component(sensor.calibrated_with.value), step_of(recorder, sensor)
    if held is None or display is None:
        return
    unit, step = display
    applied = exactly(recorder.ledger[CYLINDER_GAS(cylinder=cylinder.id, gas=held.gas.value)])
    function: Callable[..., Any] = response.simulant_span
    terms = [applied, exactly(factor)]
    if sensor.channel.value == FLAMMABLE:
        lel = recorder.ledger.get(GAS_LEL(gas=held.gas.value))
        if lel is None:
            return
        function = response.simulant_lel_span
        terms.insert(1, exactly(lel))
    recorder.derived(
        SPAN_ENTER(cylinder=cylinder.id, sensor=sensor.id),
        f"Span value to enter for {sensor.name} with cylinder {cylinder.id}",
        unit,
        Rounding(direction=Direction.UP, step=step, why="a display that is spanned too low reads too low"),
        function,
        *terms,
        note="the cylinder's gas stands in for the gas shown; enter this and not what the bottle says",
    )
