"""Other clocks of the models: battery in the cold, data log, pump filter; and how soon help must be called."""

from __future__ import annotations

from fractions import Fraction

from builder.base.quantity import magnitude
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure
from builder.figures.formulas import clock
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import stock
from builder.figures.terms import exactly
from builder.program.areas import Area
from builder.program.models import PUMP_FILTER, Model

HOURS = Rounding(direction=Direction.DOWN, step=Fraction(1, 10), why="stock is never printed larger than it is")


def compute(recorder: FigureRecorder) -> None:
    """Enter ``model.<model>.runtime-cold``, ``.runtime-margin``, ``.log-full-after``, ``.filter-every`` and so on."""
    for area in recorder.program.areas.values():
        if area.rescue_within:
            label = f"Help must be called in {area.name} within"
            recorder.stated(f"area.{area.id}.rescue-within", label, area.rescue_within, "min")
    for model in recorder.program.models.values():
        with recorder.at(model.where):
            _model(recorder, model)


def _model(recorder: FigureRecorder, model: Model) -> None:
    key, shift = f"model.{model.id}", recorder.ledger["site.shift"]
    runtime = _in_the_cold(recorder, model) or recorder.ledger[f"{key}.runtime"]
    recorder.derived(
        f"{key}.runtime-margin",
        f"Runtime of {model.name} left after the longest turn of work",
        "h",
        HOURS,
        clock.runtime_margin,
        exactly(runtime),
        exactly(shift),
    )
    if model.log:
        capacity = recorder.ledger[f"{key}.log-capacity"]
        recorder.derived(
            f"{key}.log-full-after",
            f"Data log of {model.name} full after",
            "days",
            stock(),
            clock.log_days,
            exactly(capacity),
            exactly(shift),
            note="one longest turn of work each day",
        )
    if model.pump and model.pump.filter_every:
        recorder.interval(f"{key}.filter-every", f"Pump filter of {model.name} changed every", model.pump.filter_every)
        recorder.ledger.alias(f"{key}.part.{PUMP_FILTER}", f"{key}.filter-every")
    for part, every in model.parts.items():
        if part != PUMP_FILTER or not (model.pump and model.pump.filter_every):
            words = part.replace("-", " ").capitalize()
            recorder.interval(f"{key}.part.{part}", f"{words} of {model.name} lasts", every)


def _in_the_cold(recorder: FigureRecorder, model: Model) -> Figure | None:
    places = places_of(recorder, model)
    if model.at_cold is None or not places:
        return None
    key = f"model.{model.id}"
    place = min(places, key=lambda figure: magnitude(figure.amount, "°C"))
    cold = recorder.stated(
        f"{key}.runtime-at-coldest", f"Battery runtime of {model.name} at its coldest", model.at_cold, "h"
    )
    runtime, lowest = recorder.ledger[f"{key}.runtime"], recorder.ledger[f"{key}.works-from"]
    return recorder.derived(
        f"{key}.runtime-cold",
        f"Battery runtime of {model.name} in the coldest place it is used",
        "h",
        HOURS,
        clock.runtime_in_cold,
        exactly(runtime),
        exactly(cold),
        exactly(lowest),
        exactly(place),
    )


def places_of(recorder: FigureRecorder, model: Model) -> list[Figure]:
    """Temperatures of the areas a model is allowed in."""
    allowed = [area for area in recorder.program.areas.values() if any(g.value == model.id for g in area.detectors)]
    return [_temperature(recorder, area) for area in allowed]


def _temperature(recorder: FigureRecorder, area: Area) -> Figure:
    return recorder.ledger[f"area.{area.id}.temperature" if area.temperature else "site.temperature"]
