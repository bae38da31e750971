"""What models and sensors are: stated values."""

from __future__ import annotations

from builder.base.quantity import quantity
from builder.figures.formulas import clock
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import wait
from builder.figures.terms import exactly
from builder.program.models import Model
from builder.program.sensors import Sensor


def compute(recorder: FigureRecorder) -> None:
    """Enter ``model.<model>.*`` and ``sensor.<sensor>.*``."""
    for model in recorder.program.models.values():
        _model(recorder, model)
    for sensor in recorder.program.sensors.values():
        _sensor(recorder, sensor)


def _model(recorder: FigureRecorder, model: Model) -> None:
    key = f"model.{model.id}"
    for position in model.positions:
        name = f"{key}.{position.sensor.value}"
        of_what = f"{recorder.program.sensors[position.sensor.value].name} in {model.name}"
        recorder.stated(f"{name}.full-scale", f"Full scale of {of_what}", position.full_scale, position.unit)
        recorder.stated(f"{name}.resolution", f"Resolution of {of_what}", position.resolution, position.unit)
        recorder.stated(f"{name}.t90", f"T90 of {of_what}", position.t90, "s")
    recorder.stated(f"{key}.runtime", f"Battery runtime of {model.name}", model.runtime, "h")
    recorder.stated(f"{key}.works-from", f"Lowest working temperature of {model.name}", model.coldest, "°C")
    recorder.stated(f"{key}.works-to", f"Highest working temperature of {model.name}", model.hottest, "°C")
    if model.pump and model.hose:
        recorder.stated(f"{key}.pump-flow", f"Pump flow of {model.name}", model.pump.flow, "L/min")
        recorder.stated(f"{key}.longest-hose", f"Longest hose of {model.name}", model.pump.longest_hose, "m")
        recorder.stated(f"{key}.hose", f"Hose supplied with {model.name}", model.hose.length, "m")
        recorder.stated(f"{key}.hose-bore", f"Bore of the hose of {model.name}", model.hose.bore, "mm")
        if model.pump.flow_block:
            label = f"Flow-block alarm of {model.name} within"
            recorder.stated(f"{key}.flow-block", label, model.pump.flow_block, "s")
    if model.log:
        recorder.stated(f"{key}.log-capacity", f"Data log of {model.name}", model.log.capacity, "h")
        recorder.interval(f"{key}.download-every", f"Data log of {model.name} read out every", model.log.download_every)
    if model.lone_worker:
        still = recorder.stated(
            f"{key}.lone-worker.motionless", "Time without motion", model.lone_worker.motionless, "s"
        )
        warning = recorder.stated(
            f"{key}.lone-worker.warning", "Warning before the full alarm", model.lone_worker.warning, "s"
        )
        recorder.derived(
            f"{key}.lone-worker.total",
            "Time to the full lone-worker alarm",
            "s",
            wait(quantity(1, "s").magnitude),
            clock.lone_worker_total,
            exactly(still),
            exactly(warning),
        )


def _sensor(recorder: FigureRecorder, sensor: Sensor) -> None:
    recorder.interval(f"sensor.{sensor.id}.life", f"Life of {sensor.name}", sensor.life)
    if sensor.lamp:
        recorder.stated(f"sensor.{sensor.id}.lamp", f"Lamp energy of {sensor.name}", sensor.lamp, "eV")
    if sensor.minimum_oxygen:
        recorder.stated(
            f"sensor.{sensor.id}.minimum-oxygen",
            f"Least oxygen for {sensor.name}",
            sensor.minimum_oxygen,
            "%vol",
            note="below it the sensor reads low or nothing",
        )
