"""What models and sensors are: stated values."""

from __future__ import annotations

from builder.base.quantity import quantity
from builder.figures.bench import Bench, of
from builder.figures.formulas import clock
from builder.figures.roundings import wait
from builder.program.models import Model
from builder.program.sensors import Sensor


def compute(bench: Bench) -> None:
    """Enter ``model.<model>.*`` and ``sensor.<sensor>.*``."""
    for model in bench.program.models.values():
        _model(bench, model)
    for sensor in bench.program.sensors.values():
        _sensor(bench, sensor)


def _model(bench: Bench, model: Model) -> None:
    key = f"model.{model.id}"
    for position in model.positions:
        name = f"{key}.{position.sensor.value}"
        of_what = f"{bench.program.sensors[position.sensor.value].name} in {model.name}"
        bench.stated(f"{name}.full-scale", f"Full scale of {of_what}", position.full_scale, position.unit)
        bench.stated(f"{name}.resolution", f"Resolution of {of_what}", position.resolution, position.unit)
        bench.stated(f"{name}.t90", f"T90 of {of_what}", position.t90, "s")
    bench.stated(f"{key}.runtime", f"Battery runtime of {model.name}", model.runtime, "h")
    bench.stated(f"{key}.works-from", f"Lowest working temperature of {model.name}", model.coldest, "°C")
    bench.stated(f"{key}.works-to", f"Highest working temperature of {model.name}", model.hottest, "°C")
    if model.pump and model.hose:
        bench.stated(f"{key}.pump-flow", f"Pump flow of {model.name}", model.pump.flow, "L/min")
        bench.stated(f"{key}.longest-hose", f"Longest hose of {model.name}", model.pump.longest_hose, "m")
        bench.stated(f"{key}.hose", f"Hose supplied with {model.name}", model.hose.length, "m")
        bench.stated(f"{key}.hose-bore", f"Bore of the hose of {model.name}", model.hose.bore, "mm")
        if model.pump.flow_block:
            label = f"Flow-block alarm of {model.name} within"
            bench.stated(f"{key}.flow-block", label, model.pump.flow_block, "s")
    if model.log:
        bench.stated(f"{key}.log-capacity", f"Data log of {model.name}", model.log.capacity, "h")
        bench.interval(f"{key}.download-every", f"Data log of {model.name} read out every", model.log.download_every)
    if model.lone_worker:
        still = bench.stated(f"{key}.lone-worker.motionless", "Time without motion", model.lone_worker.motionless, "s")
        warning = bench.stated(
            f"{key}.lone-worker.warning", "Warning before the full alarm", model.lone_worker.warning, "s"
        )
        total = clock.lone_worker_total(model.lone_worker.motionless.value, model.lone_worker.warning.value)
        bench.number(
            f"{key}.lone-worker.total",
            "Time to the full lone-worker alarm",
            total,
            "s",
            wait(quantity(1, "s").magnitude),
            clock.lone_worker_total,
            [of(still), of(warning)],
        )


def _sensor(bench: Bench, sensor: Sensor) -> None:
    bench.interval(f"sensor.{sensor.id}.life", f"Life of {sensor.name}", sensor.life)
    if sensor.lamp:
        bench.stated(f"sensor.{sensor.id}.lamp", f"Lamp energy of {sensor.name}", sensor.lamp, "eV")
    if sensor.minimum_oxygen:
        bench.stated(
            f"sensor.{sensor.id}.minimum-oxygen",
            f"Least oxygen for {sensor.name}",
            sensor.minimum_oxygen,
            "%vol",
            note="below it the sensor reads low or nothing",
        )
