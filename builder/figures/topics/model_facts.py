"""What a manual says of a model beside its sensors and pump, and what is left over of it on this site."""

from fractions import Fraction

from builder.base.quantity import Quantity
from builder.base.rounding import Direction, Rounding
from builder.base.where import Given
from builder.figures.formulas import unit as formulas
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import wait
from builder.figures.terms import written
from builder.program.keys import families as keyed
from builder.program.keys.family import Family
from builder.program.model_facts import TIMES, Relay
from builder.program.models import Model
from builder.program.values import written_unit

MARGIN = Rounding(direction=Direction.DOWN, step=Fraction(1, 10), why="a margin is never printed larger than it is")
WHOLE = wait(Fraction(1))
"""Whole seconds or minutes."""


def compute(recorder: FigureRecorder) -> None:
    """Enter ``model.<model>.warm-up`` and so on, ``sensor.<sensor>.settles-in`` and ``area.<area>.noise``."""
    for sensor in recorder.program.sensors.values():
        if sensor.settles_in:
            _time(recorder, keyed.SENSOR_SETTLES_IN(sensor=sensor.id), f"{sensor.name} settles in", sensor.settles_in)
        if sensor.pressures:
            low, high = sensor.pressures
            label = f"air pressure that {sensor.name} is made for"
            recorder.stated(keyed.SENSOR_PRESSURE_FROM(sensor=sensor.id), f"Lowest {label}", low, "kPa")
            recorder.stated(keyed.SENSOR_PRESSURE_TO(sensor=sensor.id), f"Highest {label}", high, "kPa")
    for area in recorder.program.areas.values():
        if area.noise:
            recorder.stated(keyed.AREA_NOISE(area=area.id), f"Noise in {area.name}", area.noise, "dB(A)")
    for model in recorder.program.models.values():
        with recorder.at(model.where):
            _waits(recorder, model)
            _alarms(recorder, model)
            _log(recorder, model)
            if model.relay is not None and model.relay.reaches:
                _relay(recorder, model, model.relay)


def _time(recorder: FigureRecorder, key: str, label: str, given: Given[Quantity], note: str = "") -> None:
    """A time in the unit it is written in."""
    recorder.stated(key, label, given, written_unit(given, TIMES), note=note)


def _waits(recorder: FigureRecorder, model: Model) -> None:
    if model.warm_up:
        note = "a reading before that is none"
        _time(
            recorder, keyed.MODEL_WARM_UP(model=model.id), f"Warm-up of {model.name}", model.warm_up.switched_on, note
        )
        if model.warm_up.after_jump:
            label = f"{model.name} settles after a jump in temperature in"
            _time(recorder, keyed.MODEL_AFTER_JUMP(model=model.id), label, model.warm_up.after_jump, note)
    for cells in model.cells:
        if cells.runtime:
            label = f"Runtime of {model.name} on {cells.kind.value} cells"
            recorder.stated(keyed.MODEL_RUNTIME_INSTEAD(model=model.id), label, cells.runtime, "h")


def _alarms(recorder: FigureRecorder, model: Model) -> None:
    if model.averages:
        twa, stel = model.averages.twa_over, model.averages.stel_over
        recorder.stated(keyed.MODEL_TWA_OVER(model=model.id), f"TWA of {model.name} goes over", twa, "h")
        recorder.stated(keyed.MODEL_STEL_OVER(model=model.id), f"STEL of {model.name} goes over", stel, "min")
    if not (model.alarm_modes and model.alarm_modes.loudness):
        return
    loud = recorder.stated(
        keyed.MODEL_LOUDNESS(model=model.id), f"Alarm of {model.name}", model.alarm_modes.loudness, "dB(A)"
    )
    for area in recorder.program.areas.values():
        if area.noise and any(given.value == model.id for given in area.detectors):
            recorder.derived(
                keyed.LOUDNESS_MARGIN(area=area.id, model=model.id),
                f"Alarm of {model.name} above the noise in {area.name}",
                "dB(A)",
                Rounding(direction=Direction.DOWN, step=Fraction(1), why="a margin is never printed larger than it is"),
                formulas.loudness_margin,
                loud,
                recorder.ledger[keyed.AREA_NOISE(area=area.id)],
            )


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
    if log.interval:
        recorder.stated(
            keyed.MODEL_LOG_INTERVAL(model=model.id), f"{model.name} keeps a reading every", log.interval, "s"
        )
    if log.clock:
        label = f"Clock of {model.name} goes wrong in a month by"
        _time(recorder, keyed.MODEL_CLOCK_DRIFT(model=model.id), label, log.clock.drift)


def _relay(recorder: FigureRecorder, model: Model, relay: Relay) -> None:
    """What passes until somebody knows of someone who lies still, and until help is there."""
    stated: tuple[tuple[Family, str, Given[Quantity] | None], ...] = (
        (keyed.MODEL_RELAY_WITHIN, f"Alarm of {model.name} reaches {relay.to.value} within", relay.within),
        (keyed.MODEL_RELAY_ANSWERED, f"{relay.to.value} acts on it within", relay.answered_within),
        (keyed.MODEL_RELAY_HELP, "Help is at the farthest place within", relay.help_within),
        (keyed.MODEL_RELAY_LOST, f"A lost signal of {model.name} is told after", relay.lost_after),
    )
    for family, label, given in stated:
        if given is not None:
            _time(recorder, family(model=model.id), label, given)
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
