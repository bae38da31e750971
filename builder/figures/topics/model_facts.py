"""What a manual says of a model beside its sensors and pump, and what is left over of it on this site."""

from fractions import Fraction

from builder.base.rounding import Direction, Rounding
from builder.figures.formulas import unit as formulas
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import wait
from builder.figures.terms import written
from builder.program.keys import families as keyed
from builder.program.model_facts import TIMES, Relay
from builder.program.models import Model

MARGIN = Rounding(direction=Direction.DOWN, step=Fraction(1, 10), why="a margin is never printed larger than it is")
LOUDNESS = Rounding(direction=Direction.DOWN, step=Fraction(1), why=MARGIN.why)
WHOLE = wait(Fraction(1))
"""Whole seconds or minutes."""


def compute(recorder: FigureRecorder) -> None:
    """Enter ``model.<model>.warm-up`` and so on, ``sensor.<sensor>.settles-in`` and ``area.<area>.noise``."""
    for sensor in recorder.program.sensors.values():
        low, high = sensor.pressures or (None, None)
        label = f"air pressure that {sensor.name} is made for"
        recorder.each_stated(
            (keyed.SENSOR_SETTLES_IN, f"{sensor.name} settles in", sensor.settles_in, TIMES),
            (keyed.SENSOR_PRESSURE_FROM, f"Lowest {label}", low, "kPa"),
            (keyed.SENSOR_PRESSURE_TO, f"Highest {label}", high, "kPa"),
            sensor=sensor.id,
        )
    for area in recorder.program.areas.values():
        recorder.each_stated((keyed.AREA_NOISE, f"Noise in {area.name}", area.noise, "dB(A)"), area=area.id)
    for model in recorder.program.models.values():
        with recorder.at(model.where):
            _waits(recorder, model)
            _alarms(recorder, model)
            _log(recorder, model)
            if model.relay is not None and model.relay.reaches:
                _relay(recorder, model, model.relay)


def _waits(recorder: FigureRecorder, model: Model) -> None:
    if model.warm_up:
        key, label, note = keyed.MODEL_WARM_UP, f"Warm-up of {model.name}", "a reading before that is none"
        recorder.stated(key(model=model.id), label, model.warm_up.switched_on, TIMES, note)
        if model.warm_up.after_jump:
            label = f"{model.name} settles after a jump in temperature in"
            recorder.stated(keyed.MODEL_AFTER_JUMP(model=model.id), label, model.warm_up.after_jump, TIMES, note)
    for cells in model.battery.cells:
        label = f"Runtime of {model.name} on {cells.kind.value} cells"
        recorder.each_stated((keyed.MODEL_RUNTIME_INSTEAD, label, cells.runtime, "h"), model=model.id)


def _alarms(recorder: FigureRecorder, model: Model) -> None:
    if model.averages:
        recorder.each_stated(
            (keyed.MODEL_TWA_OVER, f"TWA of {model.name} goes over", model.averages.twa_over, "h"),
            (keyed.MODEL_STEL_OVER, f"STEL of {model.name} goes over", model.averages.stel_over, "min"),
            model=model.id,
        )
    if not (model.alarm_modes and model.alarm_modes.loudness):
        return
    key, label = keyed.MODEL_LOUDNESS(model=model.id), f"Alarm of {model.name}"
    loud = recorder.stated(key, label, model.alarm_modes.loudness, "dB(A)")
    for area in recorder.program.areas.values():
        if area.noise and any(given.value == model.id for given in area.detectors):
            key = keyed.LOUDNESS_MARGIN(area=area.id, model=model.id)
            label, noise = f"Alarm of {model.name} above the noise in {area.name}", keyed.AREA_NOISE(area=area.id)
            recorder.derived(key, label, "dB(A)", LOUDNESS, formulas.loudness_margin, loud, recorder.ledger[noise])


def _log(recorder: FigureRecorder, model: Model) -> None:
    log = model.log
    if log is None:
        return
    recorder.derived(
        keyed.MODEL_LOG_MARGIN(model=model.id),
        f"Data log of {model.name} left at a download",
        "h",
        MARGIN,
        formulas.log_margin,
        recorder.ledger[keyed.MODEL_LOG_CAPACITY(model=model.id)],
        written("downloaded every", log.download_every),
        recorder.ledger[keyed.SITE_SHIFT()],
        note="one longest shift each day",
    )
    drift = log.clock.drift if log.clock else None
    recorder.each_stated(
        (keyed.MODEL_LOG_INTERVAL, f"{model.name} keeps a reading every", log.interval, "s"),
        (keyed.MODEL_CLOCK_DRIFT, f"Clock of {model.name} goes wrong in a month by", drift, TIMES),
        model=model.id,
    )


def _relay(recorder: FigureRecorder, model: Model, relay: Relay) -> None:
    """What passes until somebody knows of someone who lies still, and until help is there."""
    recorder.each_stated(
        (keyed.MODEL_RELAY_WITHIN, f"Alarm of {model.name} reaches {relay.to.value} within", relay.within, TIMES),
        (keyed.MODEL_RELAY_ANSWERED, f"{relay.to.value} acts on it within", relay.answered_within, TIMES),
        (keyed.MODEL_RELAY_HELP, "Help is at the farthest place within", relay.help_within, TIMES),
        (keyed.MODEL_RELAY_LOST, f"A lost signal of {model.name} is told after", relay.lost_after, TIMES),
        model=model.id,
    )
    if model.lone_worker is None or not relay.reaches or relay.within is None or relay.answered_within is None:
        return
    terms = [
        written("time without motion", model.lone_worker.motionless),
        written("warning", model.lone_worker.warning),
        written("relay", relay.within),
        written("answer", relay.answered_within),
    ]
    known = keyed.MODEL_KNOWN_AFTER(model=model.id)
    label = f"{relay.to.value} knows of someone who lies still with {model.name} after"
    recorder.derived(known, label, "s", WHOLE, formulas.known_after, terms)
    if relay.help_within is not None:
        terms.append(written("way of those who help", relay.help_within))
        label = f"Help is with someone who lies still with {model.name} after"
        recorder.derived(keyed.MODEL_HELP_AFTER(model=model.id), label, "min", WHOLE, formulas.known_after, terms)
