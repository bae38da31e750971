"""Cross-sensitivity: what a gas that a sensor is not meant for does to its reading."""

from builder.figures.figure import Figure
from builder.figures.formulas import mixtures
from builder.figures.ledger import figures_there
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import away_from_zero
from builder.figures.terms import as_set, exactly, given
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.sensors import OXYGEN, Cross, Sensor

DIGITS = 2
LIMITS = ("ceiling", "stel", "twa")


def compute(recorder: FigureRecorder) -> None:
    """Enter ``cross.<sensor>.<gas>.coefficient`` and ``cross.<area>.<sensor>.<gas>.apparent``."""
    for sensor in recorder.program.sensors.values():
        if sensor.cross is not None:
            for gas, share in sensor.cross.table.items():
                name = recorder.program.gases[gas].name
                label = f"Reading of {sensor.name} for {name}, as a share of it"
                note = f"below zero it lowers the reading; from: {sensor.cross.source.value}"
                recorder.stated(keyed.CROSS_COEFFICIENT(sensor=sensor.id, gas=gas), label, share, "%", note=note)
    for area in recorder.program.areas.values():
        for sensor in recorder.program.sensors_in(area):
            if sensor.cross is not None:
                _area(recorder, area, sensor, sensor.cross)


def _area(recorder: FigureRecorder, area: Area, sensor: Sensor, cross: Cross) -> None:
    for gas, share in cross.table.items():
        level = level_of(recorder, area, gas) if area.hazard(gas) else None
        if level is None:
            continue
        with recorder.at(share.where):
            _apparent(recorder, area, sensor, gas, level)


def _apparent(recorder: FigureRecorder, area: Area, sensor: Sensor, gas: str, level: Figure) -> None:
    coefficient = recorder.ledger[keyed.CROSS_COEFFICIENT(sensor=sensor.id, gas=gas)]
    there = exactly(level) if keyed.EXPOSURE_LIMIT.read(level.key) else as_set(level)
    name = recorder.program.gases[gas].name
    recorder.derived(
        keyed.CROSS_APPARENT(area=area.id, sensor=sensor.id, gas=gas),
        f"Reading that {name} alone causes on {sensor.name} in {area.name}",
        "%vol" if sensor.channel.value == OXYGEN else "ppm",
        away_from_zero("an error of a reading"),
        mixtures.cross_sensitivity,
        [there],
        [coefficient],
        beside=[given("cross-sensitivity from", sensor.cross.source)] if sensor.cross else (),
        note="at the amount shown; more of it does more, and a used-up filter lets more through",
    )


def level_of(recorder: FigureRecorder, area: Area, gas: str) -> Figure | None:
    """How much of a gas to reckon with: what is there when its high alarm sounds, else its limit."""
    high = keyed.SETPOINT(area=area.id, channel=gas, alarm="high")
    told = (keyed.SETPOINT_VAPOUR.on(high), keyed.SETPOINT_VOLUME.on(high), high)  # the most telling first
    for figure in figures_there(recorder.ledger, told):
        if figure.unit in ("ppm", "%vol"):
            return figure
    lists = recorder.program.limit_lists_in(area)
    keys = (keyed.EXPOSURE_LIMIT(gas=gas, list=listed, kind=kind) for listed in lists for kind in LIMITS)
    return next(figures_there(recorder.ledger, keys), None)
