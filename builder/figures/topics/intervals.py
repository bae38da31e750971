"""Checks of units: what each party asks, the strictest of it, the last good check and the last day it still holds."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Any, cast

from builder.base.quantity import quantity
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import NO_BREAK_SPACE, Figure, Input
from builder.figures.formulas import clock, history, origin, rhythm
from builder.figures.formulas.registry import formula_of, id_of
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import UnitLog
from builder.figures.recorder import FigureRecorder, given, of
from builder.program.checks import AskedInterval, Check
from builder.program.interval import Interval
from builder.program.inventory import CHECKED_STATES, Unit

if TYPE_CHECKING:
    from builder.figures.formulas.clock import Interval as IntervalUnit

MERIT = Rounding(
    direction=Direction.DOWN, step=Fraction(1, 10), why="a mark of merit is never printed better than it is"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class IntervalTerm:
    """One asked interval of one check of one unit, and when it ends."""

    asked: AskedInterval
    due: date | None
    """``None`` without a good check to count from."""


def compute(recorder: FigureRecorder, book: Logbook) -> None:
    """Enter ``unit.<unit>.<check>.interval``, ``.last`` and ``.due``, and ``check.<check>.on-time``."""
    for unit in recorder.program.units.values():
        if unit.state.value in CHECKED_STATES:
            for check in recorder.program.checks.values():
                if recorder.program.has_part(unit, check):
                    with recorder.at(check.where):
                        _check(recorder, book, unit, check)
    if book.units:
        for check in recorder.program.checks.values():
            _on_time(recorder, book, check)


def last_good(unit: Unit, check: Check, log: UnitLog | None) -> date | None:
    """The later of the records and the inventory; the inventory's is void on a day with a failure and no pass."""
    recorded = log.last.get(check.what) if log else None
    stated = unit.last.get(check.id)
    if stated is None or (log and _void(stated.value, check, log)):
        return recorded
    return max(recorded, stated.value) if recorded else stated.value


def _void(stated: date, check: Check, log: UnitLog) -> bool:
    if log.failed.get(check.what) == stated:
        return stated not in log.good_days.get(check.what, ())
    return check.uses_gas and any(day > stated for day in log.changed.values())


def terms(recorder: FigureRecorder, book: Logbook, unit: Unit, check: Check, last: date | None) -> list[IntervalTerm]:
    """Every interval asked of a check where a unit is kept, the strictest first."""
    use_days = book.units[unit.id].use_days if unit.id in book.units else ()
    made = [
        IntervalTerm(asked=asked, due=due_day(recorder, book, use_days, asked.interval.value, last) if last else None)
        for asked in check.asked_in(unit.place, unit.model.value)
    ]
    return sorted(made, key=lambda term: (term.due or date.min, term.asked.interval.value.nominal_days))


def due_day(recorder: FigureRecorder, book: Logbook, use_days: Any, interval: Interval, last: date) -> date:
    """The last day on which a check of that day still holds."""
    if interval.each_day_of_use:
        return last
    if interval.days_of_use:
        if book.counts_use:
            days = use_days[bisect_left(use_days, last) :]
        else:  # no use is recorded anywhere: every day may have been one
            days = [last + timedelta(days=n) for n in range(max((recorder.as_of - last).days, 0) + 1)]
        return rhythm.use_due(days, interval.count, max(recorder.as_of, last))
    if interval.unit == "working-day":
        calendar = recorder.program.calendar
        return calendar.add_working_days(last, interval.count) if calendar else last + timedelta(days=interval.count)
    return clock.next_due(last, interval.count, cast("IntervalUnit", f"{interval.unit}s"))


def _check(recorder: FigureRecorder, book: Logbook, unit: Unit, check: Check) -> None:
    log = book.units.get(unit.id)
    last = last_good(unit, check, log)
    asked = terms(recorder, book, unit, check, last)
    if not asked:
        return
    strictest = asked[0]
    key = f"unit.{unit.id}.{check.id}"
    interval = _interval(recorder, unit, check, asked)
    if last is None or strictest.due is None:
        return
    done = _last(recorder, unit, check, log, last)
    inputs = [of(done), of(interval)]
    note = "last day it still holds"
    label = f"{check.name} of {unit.id} due by"
    if strictest.asked.interval.value.each_day_of_use:
        label, note = f"{check.name} of {unit.id} holds until the end of", "due again before the next day's use"
    elif strictest.asked.interval.value.days_of_use:
        days = sum(day >= last for day in log.use_days) if log and book.counts_use else 0
        text = str(days) if book.counts_use else "every day, since none is recorded"
        inputs += [
            Input(label="days of use since then", text=text, source="records of use"),
            of(recorder.ledger["handbook.as-of"]),
        ]
        note = "last day it surely holds: use on every day to come is assumed"
    recorder.day(f"{key}.due", label, strictest.due, _function(strictest.asked.interval.value), inputs, note=note)


def _function(interval: Interval) -> Callable[..., Any]:
    if interval.each_day_of_use:
        return origin.day_stated
    if interval.days_of_use:
        return rhythm.use_due
    return rhythm.working_due if interval.unit == "working-day" else clock.next_due


def _interval(recorder: FigureRecorder, unit: Unit, check: Check, asked: list[IntervalTerm]) -> Figure:
    strictest = asked[0].asked
    record = formula_of(id_of(clock.strictest_due if len(asked) > 1 else origin.stated))
    inputs = [given(f"{term.asked.by.value} asks", term.asked.interval) for term in asked]
    note = f"{strictest.by.value}: {strictest.reason.value}"
    return recorder.ledger.add(
        Figure(
            key=f"unit.{unit.id}.{check.id}.interval",
            label=f"{check.name} of {unit.id} every",
            exact=Fraction(strictest.interval.value.count),
            unit="",
            text=strictest.interval.value.text.replace(" ", NO_BREAK_SPACE),
            rounding=None,
            formula=record.id,
            inputs=tuple(inputs),
            source=strictest.source.value,
            note=note + _elsewhere(recorder, unit, check, strictest),
        )
    )


def _elsewhere(recorder: FigureRecorder, unit: Unit, check: Check, strictest: AskedInterval) -> str:
    """What areas ask for more often than the pool a unit is kept in."""
    if unit.area is not None:
        return ""
    told: list[str] = []
    for area in recorder.program.areas.values():
        if any(model.value == unit.model.value for model in area.detectors):
            there = check.strictest_in(area.id, unit.model.value)
            if there and there.interval.value.nominal_days < strictest.interval.value.nominal_days:
                told.append(f"{area.name} asks for every {there.interval.text}")
    return f"; before it is issued: {', '.join(told)}" if told else ""


def _last(recorder: FigureRecorder, unit: Unit, check: Check, log: UnitLog | None, last: date) -> Figure:
    inputs: list[Input] = []
    stated = unit.last.get(check.id)
    recorded = log.last.get(check.what) if log else None
    if log and recorded:
        found = next(
            (
                record
                for record, verdict in reversed(log.entries)
                if verdict.good and record.what == check.what and record.day == recorded
            ),
            None,
        )
        if found is not None:
            inputs.append(given("recorded", found.time))
    if stated and not (log and _void(stated.value, check, log)):
        inputs.append(given("done", stated))
    function = rhythm.later_good if len(inputs) > 1 else origin.day_stated
    key = f"unit.{unit.id}.{check.id}.last"
    return recorder.day(key, f"Last good {check.name} of {unit.id}", last, function, inputs)


def _on_time(recorder: FigureRecorder, book: Logbook, check: Check) -> None:
    kept, count = 0, 0
    for unit in recorder.program.units.values():
        log = book.units.get(unit.id)
        if log is not None and unit.state.value in CHECKED_STATES and check.what in log.good_days:
            good, every = _kept(recorder, book, unit, check, log)
            kept, count = kept + good, count + every
    if count:
        recorder.number(
            f"check.{check.id}.on-time",
            f"{check.name}: done on time",
            history.on_time(quantity(kept, ""), quantity(count, "")),
            "%",
            MERIT,
            history.on_time,
            [
                Input(label="on time", text=str(kept), source="records"),
                Input(label="n, all", text=str(count), source="records"),
            ],
            note=f"n = {count}, of all units in use and spare",
        )


def _kept(recorder: FigureRecorder, book: Logbook, unit: Unit, check: Check, log: UnitLog) -> tuple[int, int]:
    """Of the intervals between good checks, or of the days of use since the first, how many were kept, and all."""
    intervals = [asked.interval.value for asked in check.asked_in(unit.place, unit.model.value)]
    good = sorted(set(log.good_days[check.what]))
    if any(interval.each_day_of_use for interval in intervals):
        days = log.use_days[bisect_left(log.use_days, good[0]) :]
        return len(set(days) & set(good)), len(days)
    ends = [interval for interval in intervals if not interval.days_of_use]
    if not ends:
        return 0, 0

    def term(day: date) -> date:
        return min(due_day(recorder, book, log.use_days, interval, day) for interval in ends)

    kept = sum(later <= term(earlier) for earlier, later in pairwise(good))
    late = term(good[-1]) < recorder.as_of
    return kept, len(good) - 1 + late
