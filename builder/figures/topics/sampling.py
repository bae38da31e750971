"""Sampling through a hose: time through it, wait before a reading counts, levels of a deep space."""

from fractions import Fraction

from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure
from builder.figures.formulas import sampling
from builder.figures.ledger import Lookup, figures_there
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import count_up, speed, wait
from builder.figures.terms import Term, as_set, exactly
from builder.program.areas import Area
from builder.program.checks import Check
from builder.program.keys import families as keyed
from builder.program.models import Model

SECOND = Fraction(1)
MINUTE = Fraction(1)
LATEST = Rounding(direction=Direction.DOWN, step=SECOND, why="what comes late is never called in time")


def compute(recorder: FigureRecorder) -> None:
    """Enter ``hose.<area>.<model>.*`` and ``levels.<area>.*``."""
    for area in recorder.program.areas.values():
        with recorder.at(area.where):
            _area(recorder, area)


def _area(recorder: FigureRecorder, area: Area) -> None:
    waits = [
        _hose(recorder, area, model)
        for model in recorder.program.models_in(area)
        if model.pump and model.hose and (area.hose or area.depth)
    ]
    if area.depth:
        _levels(recorder, area, waits)


def _hose(recorder: FigureRecorder, area: Area, model: Model) -> Figure:
    where = f"{model.name} in {area.name}"
    flow, bore = (
        recorder.ledger[keyed.MODEL_PUMP_FLOW(model=model.id)],
        recorder.ledger[keyed.MODEL_HOSE_BORE(model=model.id)],
    )
    length = (
        recorder.ledger[keyed.AREA_HOSE(area=area.id)]
        if area.hose
        else recorder.ledger[keyed.MODEL_HOSE(model=model.id)]
    )
    key, label = keyed.HOSE_VOLUME(area=area.id, model=model.id), f"Volume of the hose, {where}"
    volume = recorder.derived(key, label, "mL", wait(SECOND), sampling.hose_volume, bore, length)
    key, label = keyed.HOSE_TRANSIT(area=area.id, model=model.id), f"Time through the hose by volume, {where}"
    through = recorder.derived(key, label, "s", wait(SECOND), sampling.transit_time, volume, flow)
    key, label = keyed.HOSE_DRAW_TIME(area=area.id, model=model.id), f"Time to draw gas through the hose, {where}"
    note = _clinging(recorder, area)
    drawn = recorder.derived(key, label, "s", wait(SECOND), sampling.draw_time, through, length, note=note)
    key, label = keyed.HOSE_WAIT(area=area.id, model=model.id), f"Wait before a reading counts, {where}"
    note = "longer when the reading still rises: stay until it is steady"
    terms = drawn, slowest(recorder.ledger, model), _trap(recorder, model)
    waited = recorder.derived(key, label, "s", wait(SECOND), sampling.wait_time, *terms, note=note)
    for check in recorder.program.checks.values():
        if check.kind == "bump-test" and check.through_hose is None:
            _bump(recorder, area, model, check, drawn)
    if area.depth:
        _descent(recorder, keyed.HOSE_DESCENT_SPEED(area=area.id, model=model.id), where, waited)
    return waited


def _trap(recorder: FigureRecorder, model: Model) -> list[Term]:
    """The time that filter and water trap of a model add, where the site says what they hold."""
    if model.pump is None or model.pump.trap_volume is None:
        return []
    key = keyed.MODEL_TRAP_DELAY(model=model.id)
    if key not in recorder.ledger:
        label = f"Filter and water trap of {model.name}"
        held = recorder.stated(keyed.MODEL_TRAP_VOLUME(model=model.id), label, model.pump.trap_volume, "mL")
        flow = recorder.ledger[keyed.MODEL_PUMP_FLOW(model=model.id)]
        terms = exactly(held), exactly(flow)
        recorder.derived(key, f"Time to fill them, {model.name}", "s", wait(SECOND), sampling.transit_time, *terms)
    return [exactly(recorder.ledger[key])]


def _bump(recorder: FigureRecorder, area: Area, model: Model, check: Check, drawn: Figure) -> None:
    """The times of a check made at the inlet, were its gas given at the end of the hose."""
    where = f"{check.name} through the hose, {model.name} in {area.name}"
    for family, at_inlet, label, rounding in (
        (keyed.HOSE_GAS_TIME, keyed.CHECK_GAS_TIME, "How long gas would flow", wait(SECOND)),
        (keyed.HOSE_ALARMS_WITHIN, keyed.CHECK_ALARMS_WITHIN, "Alarms would sound within", LATEST),
    ):
        time = recorder.ledger.get(at_inlet(check=check.id))
        if time is not None:
            key = family(area=area.id, model=model.id, check=check.id)
            terms = exactly(drawn), exactly(time)
            recorder.derived(key, f"{label}, {where}", "s", rounding, sampling.through_hose, *terms)


def _clinging(recorder: FigureRecorder, area: Area) -> str:
    """The remark on substances that stay in the tube, by name where the site says which do."""
    named = [recorder.program.gases[hazard.gas.value] for hazard in area.hazards]
    names = ", ".join(gas.name for gas in named if gas.clings)
    if names:
        return f"not enough for {names}, which cling to the tube: first prove this tube with the real substance"
    return "vapours that cling to the tube take longer; test the tube with the real substance"


def _descent(recorder: FigureRecorder, key: str, where: str, waited: Figure) -> None:
    label = f"Fastest way down behind the hose, {where}"
    note = "the hose end about 4 ft (1.22 m) ahead; stop at every level and wait"
    recorder.derived(key, label, "m/min", speed(), sampling.descent_speed, as_set(waited), note=note)


def slowest(ledger: Lookup, model: Model) -> Figure | None:
    """The response time of a model's slowest sensor."""
    keys = (keyed.MODEL_T90(model=model.id, sensor=position.sensor.value) for position in model.positions)
    return max(figures_there(ledger, keys), key=lambda figure: figure.amount, default=None)


def _levels(recorder: FigureRecorder, area: Area, waits: list[Figure]) -> None:
    deep = recorder.ledger[keyed.AREA_DEPTH(area=area.id)]
    count = recorder.derived(
        keyed.LEVELS_COUNT(area=area.id), f"Levels to test in {area.name}", "", count_up(), sampling.levels, deep
    )
    if not waits:
        return
    longest = max(waits, key=lambda figure: figure.amount)
    key, label = keyed.LEVELS_TOTAL_TIME(area=area.id), f"Least time to test all levels of {area.name}"
    recorder.derived(key, label, "min", wait(MINUTE), sampling.total_time, count, as_set(longest))
