"""Checks of units: what each party asks, the strictest of it, the last good check and the last day it still holds."""

from collections.abc import Callable, Sequence
from datetime import date
from fractions import Fraction
from itertools import islice
from typing import Any

from builder.base.quantity import quantity
from builder.base.record import dataclass
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure, day_text
from builder.figures.formulas import clock, history, origin, rhythm
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.counted_days import Rhythm
from builder.figures.logbook.units import UnitLog
from builder.figures.recorder import FigureRecorder
from builder.figures.terms import Term, constant, exactly, of, written
from builder.program.checks import AskedInterval, Check
from builder.program.interval import Interval
from builder.program.inventory import Unit
from builder.program.keys.families import AS_OF, CHECK_ON_TIME, UNIT_DUE, UNIT_INTERVAL, UNIT_LAST

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
        if unit.checked:
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
    if stated is None or _void(stated.value, unit, check, log):
        return recorded
    return max(recorded, stated.value) if recorded else stated.value


def _void(stated: date, unit: Unit, check: Check, log: UnitLog | None) -> bool:
    if log and log.failed.get(check.what) == stated:
        return stated not in log.good_days.get(check.what, ())
    changed = log.changed if log else unit.fitted_on
    return check.uses_gas and any(day > stated for day in changed.values())


def terms(recorder: FigureRecorder, book: Logbook, unit: Unit, check: Check, last: date | None) -> list[IntervalTerm]:
    """Every interval asked of a check where a unit is kept, the strictest first."""
    counting = rhythm_of(recorder, book)
    made = [
        IntervalTerm(asked=asked, due=counting.due(unit, asked.interval.value, last) if last else None)
        for asked in check.asked_of(unit)
    ]
    return sorted(made, key=lambda term: (term.due or date.min, term.asked.interval.value.nominal_days))


def rhythm_of(recorder: FigureRecorder, book: Logbook) -> Rhythm:
    """What tells when checks run out."""
    return Rhythm(program=recorder.program, book=book, as_of=recorder.as_of)


def counted_terms(
    recorder: FigureRecorder, book: Logbook, unit: Unit, intervals: Sequence[Interval], last: date
) -> tuple[Term | None, Term | None, Term | None]:
    """Days of use, working days and today, as far as one of the intervals counts them."""
    counted = rhythm_of(recorder, book).counted(unit, intervals, last)
    by_use = any(every.days_of_use for every in intervals)
    text = str(len(counted.use)) if book.counts_use else "every day, since none is recorded"
    used = constant("days of use since then", counted.use, text, source="records of use")
    told = f"{len(counted.working)} working days, the last {day_text(max(counted.working, default=last))}"
    working = constant("working days after it", counted.working, told, source="the site's calendar")
    return (
        used if by_use else None,
        working if counted.working else None,
        exactly(recorder.ledger[AS_OF()]) if by_use else None,
    )


def _check(recorder: FigureRecorder, book: Logbook, unit: Unit, check: Check) -> None:
    log = book.units.get(unit.id)
    last = last_good(unit, check, log)
    asked = terms(recorder, book, unit, check, last)
    if not asked:
        return
    done = None if last is None else _last(recorder, unit, check, log, last)
    interval = _interval(recorder, book, unit, check, asked, done)
    failed = log is not None and any(one.open_for(check.what) for one in log.episodes)
    if done is not None and last is not None and not failed:
        _due(recorder, book, unit, check, (done, last), (interval, asked[0].asked.interval.value))


def _due(
    recorder: FigureRecorder,
    book: Logbook,
    unit: Unit,
    check: Check,
    last: tuple[Figure, date],
    strictest: tuple[Figure, Interval],
) -> None:
    (done, day), (interval, every) = last, strictest
    used, working, today = counted_terms(recorder, book, unit, (every,), day)
    key, label, note = (
        UNIT_DUE(unit=unit.id, check=check.id),
        f"{check.name} of {unit.id} due by",
        "last day it still holds",
    )
    since, each = exactly(done), exactly(interval)
    if every.each_day_of_use:
        label, note = f"{check.name} of {unit.id} holds until the end of", "due again before the next day's use"
        recorder.derived(key, label, "", None, origin.day_stated, since, beside=[of(interval)], note=note)
    elif every.days_of_use:
        note = "last day it surely holds: use on every day to come is assumed"
        recorder.derived(key, label, "", None, rhythm.use_due, since, each, used, today, note=note)
    elif every.unit == "working-day":
        recorder.derived(key, label, "", None, rhythm.working_due, working, each, beside=[of(done)], note=note)
    else:
        recorder.derived(key, label, "", None, clock.next_due, since, each, note=note)


def _interval(
    recorder: FigureRecorder, book: Logbook, unit: Unit, check: Check, asked: list[IntervalTerm], done: Figure | None
) -> Figure:
    strictest = asked[0].asked
    several = [written(f"{term.asked.by.value} asks", term.asked.interval) for term in asked]
    function: Callable[..., Any] = origin.stated
    arguments: list[Term | Sequence[Term] | None] = [several[0]]
    if len(asked) > 1:
        function, arguments = rhythm.strictest_interval, [several]
    if len(asked) > 1 and done is not None and isinstance(done.exact, date):
        counted = counted_terms(recorder, book, unit, [term.asked.interval.value for term in asked], done.exact)
        arguments += [exactly(done), *counted]
    note = f"{strictest.by.value}: {strictest.reason.value}"
    key, label = UNIT_INTERVAL(unit=unit.id, check=check.id), f"{check.name} of {unit.id} every"
    note = f"{note}{_elsewhere(recorder, unit, check, strictest)}"
    return recorder.derived(key, label, "", None, function, *arguments, source=strictest.source.value, note=note)


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
    days: list[Term] = []
    stated = unit.last.get(check.id)
    recorded = log.last.get(check.what) if log else None
    if log and recorded:
        proofs = (
            record
            for record, verdict in reversed(log.entries)
            if verdict.good and record.what == check.what and record.day == recorded
        )
        days += [written("recorded", found.given(found.time), found.day) for found in islice(proofs, 1)]
    if stated and not _void(stated.value, unit, check, log):
        days.append(written("done", stated))
    if not days:
        days.append(constant("recorded", last, source="records"))
    key, label = UNIT_LAST(unit=unit.id, check=check.id), f"Last good {check.name} of {unit.id}"
    if len(days) > 1:
        return recorder.derived(key, label, "", None, rhythm.later_good, days)
    return recorder.derived(key, label, "", None, origin.day_stated, days[0])


def on_time(recorder: FigureRecorder, key: str, label: str, kept: Sequence[bool], note: str) -> None:
    """Enter the share of terms that were kept; nothing where there was none."""
    if not kept:
        return
    recorder.derived(
        key,
        label,
        "%",
        MERIT,
        history.on_time,
        constant("on time", quantity(kept.count(True), ""), str(kept.count(True)), source="records"),
        constant("n, all", quantity(len(kept), ""), str(len(kept)), source="records"),
        note=f"n = {len(kept)}{note}",
    )


def _on_time(recorder: FigureRecorder, book: Logbook, check: Check) -> None:
    counting, kept = rhythm_of(recorder, book), list[bool]()
    for unit in recorder.program.units.values():
        log = book.units.get(unit.id)
        if log is not None and unit.checked and check.what in log.good_days:
            kept.extend(good for _, good in counting.kept(unit, check, log))
            if counting.is_late(unit, check, log):
                kept.append(False)
    label = f"{check.name}: done on time"
    on_time(recorder, CHECK_ON_TIME(check=check.id), label, kept, ", of all units in use and spare")
