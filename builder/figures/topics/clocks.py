"""Other clocks of the models: battery in the cold, data log, pump filter; and how soon help must be called."""

from fractions import Fraction

from builder.base.quantity import magnitude
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure
from builder.figures.formulas import clock
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import stock
from builder.program.keys import families as keyed
from builder.program.models import PUMP_FILTER, Model

HOURS = Rounding(direction=Direction.DOWN, step=Fraction(1, 10), why="stock is never printed larger than it is")


def compute(recorder: FigureRecorder) -> None:
    """Enter ``model.<model>.runtime-cold``, ``.runtime-margin``, ``.log-full-after``, ``.filter-every`` and so on."""
    for area in recorder.program.areas.values():
        label = f"Help must be called in {area.name} within"
        recorder.each_stated((keyed.AREA_RESCUE_WITHIN, label, area.rescue_within, "min"), area=area.id)
    for model in recorder.program.models.values():
        with recorder.at(model.where):
            _model(recorder, model)


def _model(recorder: FigureRecorder, model: Model) -> None:
    shift = recorder.ledger[keyed.SITE_SHIFT()]
    runtime = _in_the_cold(recorder, model) or recorder.ledger[keyed.MODEL_RUNTIME(model=model.id)]
    key, label = keyed.MODEL_RUNTIME_MARGIN(model=model.id), f"Runtime of {model.name} left after the longest shift"
    recorder.derived(key, label, "h", HOURS, clock.runtime_margin, runtime, shift)
    if model.log:
        capacity = recorder.ledger[keyed.MODEL_LOG_CAPACITY(model=model.id)]
        key, label = keyed.MODEL_LOG_FULL_AFTER(model=model.id), f"Data log of {model.name} full after"
        note = "one longest shift each day"
        recorder.derived(key, label, "days", stock(), clock.log_days, capacity, shift, note=note)
    if model.pump and model.pump.filter_every:
        label = f"Pump filter of {model.name} changed every"
        recorder.interval(keyed.MODEL_FILTER_EVERY(model=model.id), label, model.pump.filter_every)
        recorder.ledger.alias(
            keyed.MODEL_PART(model=model.id, part=PUMP_FILTER), keyed.MODEL_FILTER_EVERY(model=model.id)
        )
    for part, every in model.parts.items():
        if part != PUMP_FILTER or not (model.pump and model.pump.filter_every):
            words = part.replace("-", " ").capitalize()
            recorder.interval(keyed.MODEL_PART(model=model.id, part=part), f"{words} of {model.name} lasts", every)


def _in_the_cold(recorder: FigureRecorder, model: Model) -> Figure | None:
    places = places_of(recorder, model)
    if model.battery.at_cold is None or not places:
        return None
    place = min(places, key=lambda figure: magnitude(figure.amount, "°C"))
    label = f"Battery runtime of {model.name} at its coldest"
    cold = recorder.stated(keyed.MODEL_RUNTIME_AT_COLDEST(model=model.id), label, model.battery.at_cold, "h")
    runtime, lowest = (
        recorder.ledger[keyed.MODEL_RUNTIME(model=model.id)],
        recorder.ledger[keyed.MODEL_WORKS_FROM(model=model.id)],
    )
    key = keyed.MODEL_RUNTIME_COLD(model=model.id)
    label = f"Battery runtime of {model.name} in the coldest place it is used"
    return recorder.derived(key, label, "h", HOURS, clock.runtime_in_cold, runtime, cold, lowest, place)


def places_of(recorder: FigureRecorder, model: Model) -> list[Figure]:
    """Temperatures of the areas a model is allowed in."""
    allowed = [area for area in recorder.program.areas.values() if any(g.value == model.id for g in area.detectors)]
    keys = (keyed.AREA_TEMPERATURE(area=one.id) if one.temperature else keyed.SITE_TEMPERATURE() for one in allowed)
    return [recorder.ledger[key] for key in keys]
