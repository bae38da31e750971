"""Cross-sensitivity: what a gas that a sensor is not meant for does to its reading."""

from __future__ import annotations

from builder.base.quantity import magnitude
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure, Input
from builder.figures.formulas import mixtures
from builder.figures.recorder import FigureRecorder, of
from builder.program.areas import Area
from builder.program.sensors import OXYGEN, Cross, Sensor

DIGITS = 2
ALARMS = (".high.vapour", ".high.vol", ".high")
"""Keys that say what of a gas is really there when its high alarm sounds, the most telling first."""
LIMITS = ("ceiling", "stel", "twa")


def compute(recorder: FigureRecorder) -> None:
    """Enter ``cross.<sensor>.<gas>.coefficient`` and ``cross.<area>.<sensor>.<gas>.apparent``."""
    for sensor in recorder.program.sensors.values():
        if sensor.cross is not None:
            for gas, share in sensor.cross.table.items():
                name = recorder.program.gases[gas].name
                recorder.stated(
                    f"cross.{sensor.id}.{gas}.coefficient",
                    f"Reading of {sensor.name} for {name}, as a share of it",
                    share,
                    "%",
                    note=f"below zero it lowers the reading; from: {sensor.cross.source.value}",
                )
    for area in recorder.program.areas.values():
        for sensor in _sensors(recorder, area):
            if sensor.cross is not None:
                _area(recorder, area, sensor, sensor.cross)


def _sensors(recorder: FigureRecorder, area: Area) -> list[Sensor]:
    ids = {
        sensor.id: sensor for model in recorder.program.models_in(area) for _, sensor in recorder.program.fitted(model)
    }
    return list(ids.values())


def _area(recorder: FigureRecorder, area: Area, sensor: Sensor, cross: Cross) -> None:
    for gas, share in cross.table.items():
        level = level_of(recorder, area, gas) if area.hazard(gas) else None
        if level is None:
            continue
        with recorder.at(share.where):
            _apparent(recorder, area, sensor, gas, level)


def _apparent(recorder: FigureRecorder, area: Area, sensor: Sensor, gas: str, level: Figure) -> None:
    coefficient = recorder.ledger[f"cross.{sensor.id}.{gas}.coefficient"]
    there = level.printed_amount if level.key.startswith("setpoint.") else level.amount
    value = mixtures.cross_sensitivity([there], [coefficient.amount])
    hides = magnitude(value, "ppm") < 0
    why = "an error of a reading is never printed smaller than it is"
    direction = Direction.DOWN if hides else Direction.UP
    name = recorder.program.gases[gas].name
    source = (
        Input(label="cross-sensitivity from", text=sensor.cross.source.value, where=sensor.cross.source.where)
        if sensor.cross
        else None
    )
    recorder.number(
        f"cross.{area.id}.{sensor.id}.{gas}.apparent",
        f"Reading that {name} alone causes on {sensor.name} in {area.name}",
        value,
        "%vol" if sensor.channel.value == OXYGEN else "ppm",
        Rounding(direction=direction, digits=DIGITS, why=why),
        mixtures.cross_sensitivity,
        [of(level), of(coefficient), *([source] if source else [])],
        note="at the amount shown; more of it does more, and a used-up filter lets more through",
    )


def level_of(recorder: FigureRecorder, area: Area, gas: str) -> Figure | None:
    """How much of a gas to reckon with: what is there when its high alarm sounds, else its limit."""
    for ending in ALARMS:
        figure = recorder.ledger.get(f"setpoint.{area.id}.{gas}{ending}")
        if figure is not None and figure.unit in ("ppm", "%vol"):
            return figure
    for listed in recorder.program.limit_lists_in(area):
        for kind in LIMITS:
            figure = recorder.ledger.get(f"gas.{gas}.limit.{listed}.{kind}")
            if figure is not None:
                return figure
    return None
