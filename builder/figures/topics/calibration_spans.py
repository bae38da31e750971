"""Span value to enter when the gas in the cylinder is not the one the display shows."""

from __future__ import annotations

from builder.base.quantity import Quantity
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure
from builder.figures.formulas import gas as gases
from builder.figures.formulas import origin, response
from builder.figures.recorder import FigureRecorder, of
from builder.figures.roundings import hazard_digits
from builder.figures.topics.gas_checks import step_of
from builder.program.cylinders import Cylinder
from builder.program.sensors import FLAMMABLE, Sensor

DIGITS = 3


def compute(recorder: FigureRecorder) -> None:
    """Enter ``response.<sensor>.<gas>.on-simulant`` and ``span.<cylinder>.<sensor>.enter``."""
    for sensor in recorder.program.sensors.values():
        simulant = sensor.calibrated_with.value
        stated = recorder.ledger.get(f"response.{sensor.id}.{simulant}.factor")
        if simulant == sensor.shows.value or stated is None:
            continue
        factor = _factor(recorder, sensor, stated)
        for cylinder in recorder.program.cylinders.values():
            with recorder.at(cylinder.where):
                _enter(recorder, cylinder, sensor, factor)


def _factor(recorder: FigureRecorder, sensor: Sensor, stated: Figure) -> Figure:
    shown = sensor.shows.value
    names = recorder.program.gases[shown].name, recorder.program.gases[sensor.calibrated_with.value].name
    return recorder.number(
        f"response.{sensor.id}.{shown}.on-simulant",
        f"Response factor of {names[0]} on {sensor.name}, with {names[1]} as calibration gas",
        response.rebased_factor(origin.unity(), stated.amount),
        "",
        hazard_digits(DIGITS),
        response.rebased_factor,
        [of(recorder.ledger[f"response.{sensor.id}.{shown}.factor"]), of(stated)],
    )


def _enter(recorder: FigureRecorder, cylinder: Cylinder, sensor: Sensor, factor: Figure) -> None:
    held, display = cylinder.component(sensor.calibrated_with.value), step_of(recorder, sensor)
    if held is None or display is None:
        return
    unit, step = display
    applied = recorder.ledger[f"cylinder.{cylinder.id}.{held.gas.value}"]
    value: Quantity = applied.amount
    inputs = [of(applied), of(factor)]
    if sensor.channel.value == FLAMMABLE:
        lel = recorder.ledger.get(f"gas.{held.gas.value}.lel")
        if lel is None:
            return
        value = gases.vol_to_lel(value, lel.amount)
        inputs.append(of(lel))
    spanned = response.simulant_span(value, factor.amount)
    why = "a display that is spanned too low reads too low"
    recorder.number(
        f"span.{cylinder.id}.{sensor.id}.enter",
        f"Span value to enter for {sensor.name} with cylinder {cylinder.id}",
        spanned,
        unit,
        Rounding(direction=Direction.UP, step=step, why=why),
        response.simulant_span,
        inputs,
        note="the cylinder's gas stands in for the gas shown; enter this and not what the bottle says",
    )
