"""What models and sensors are: stated values."""

from builder.base.quantity import quantity
from builder.figures.formulas import clock
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import wait
from builder.program.keys import families as keyed
from builder.program.models import Model
from builder.program.sensors import Sensor


def compute(recorder: FigureRecorder) -> None:
    """Enter ``model.<model>.*`` and ``sensor.<sensor>.*``."""
    for model in recorder.program.models.values():
        _model(recorder, model)
    for sensor in recorder.program.sensors.values():
        _sensor(recorder, sensor)


def _model(recorder: FigureRecorder, model: Model) -> None:
    for position in model.positions:
        of_what = f"{recorder.program.sensors[position.sensor.value].name} in {model.name}"
        recorder.each_stated(
            (keyed.MODEL_FULL_SCALE, f"Full scale of {of_what}", position.full_scale, position.unit),
            (keyed.MODEL_RESOLUTION, f"Resolution of {of_what}", position.resolution, position.unit),
            (keyed.MODEL_T90, f"T90 of {of_what}", position.t90, "s"),
            model=model.id,
            sensor=position.sensor.value,
        )
    recorder.each_stated(
        (keyed.MODEL_RUNTIME, f"Battery runtime of {model.name}", model.battery.runtime, "h"),
        (keyed.MODEL_WORKS_FROM, f"Lowest working temperature of {model.name}", model.works.coldest, "°C"),
        (keyed.MODEL_WORKS_TO, f"Highest working temperature of {model.name}", model.works.hottest, "°C"),
        model=model.id,
    )
    if model.pump and model.hose:
        recorder.each_stated(
            (keyed.MODEL_PUMP_FLOW, f"Pump flow of {model.name}", model.pump.flow, "L/min"),
            (keyed.MODEL_LONGEST_HOSE, f"Longest hose of {model.name}", model.pump.longest_hose, "m"),
            (keyed.MODEL_HOSE, f"Hose supplied with {model.name}", model.hose.length, "m"),
            (keyed.MODEL_HOSE_BORE, f"Bore of the hose of {model.name}", model.hose.bore, "mm"),
            (keyed.MODEL_FLOW_BLOCK, f"Flow-block alarm of {model.name} within", model.pump.flow_block, "s"),
            model=model.id,
        )
    if model.log:
        recorder.stated(keyed.MODEL_LOG_CAPACITY(model=model.id), f"Data log of {model.name}", model.log.capacity, "h")
        label = f"Data log of {model.name} read out every"
        recorder.interval(keyed.MODEL_DOWNLOAD_EVERY(model=model.id), label, model.log.download_every)
    if model.lone_worker:
        timers = model.lone_worker
        still = recorder.stated(keyed.MODEL_MOTIONLESS(model=model.id), "Time without motion", timers.motionless, "s")
        key, label = keyed.MODEL_WARNING(model=model.id), "Warning before the full alarm"
        warning = recorder.stated(key, label, timers.warning, "s")
        key, label = keyed.MODEL_LONE_WORKER_TOTAL(model=model.id), "Time to the full lone-worker alarm"
        recorder.derived(key, label, "s", wait(quantity(1, "s").magnitude), clock.lone_worker_total, still, warning)


def _sensor(recorder: FigureRecorder, sensor: Sensor) -> None:
    recorder.interval(keyed.SENSOR_LIFE(sensor=sensor.id), f"Life of {sensor.name}", sensor.life)
    recorder.each_stated((keyed.SENSOR_LAMP, f"Lamp energy of {sensor.name}", sensor.lamp, "eV"), sensor=sensor.id)
    if sensor.minimum_oxygen:
        key, label = keyed.SENSOR_MINIMUM_OXYGEN(sensor=sensor.id), f"Least oxygen for {sensor.name}"
        recorder.stated(key, label, sensor.minimum_oxygen, "%vol", note="below it the sensor reads low or nothing")
