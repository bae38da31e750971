"""What the pages show of the records: the latest rows of each unit as written, and each month in numbers."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from itertools import pairwise
from typing import TypeAlias, cast

from builder.base.quantity import quantity
from builder.base.where import Given
from builder.figures.figure import Figure, Input
from builder.figures.formulas import clock, history, origin
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import UnitLog
from builder.figures.logbook.verdicts import Verdict
from builder.figures.recorder import FigureRecorder, given, of
from builder.figures.roundings import as_written
from builder.figures.topics.intervals import MERIT, due_day
from builder.figures.topics.recommend import COMPARED, Reading, readings_of
from builder.program.checks import Check
from builder.program.inventory import CHECKED_STATES, Unit
from builder.program.program import Program
from builder.program.record_rows import Displays
from builder.program.records import Record

SHOWN = 20
"""Rows of a unit that its page shows; the files of records have all."""
FEWEST = 3
"""Readings, on as many days, that a line of a chart needs."""
MONTHS = 24
"""Months that the page of records shows."""
USE = "use"
Month: TypeAlias = tuple[int, int]
"""Year and month."""


def compute(recorder: FigureRecorder, book: Logbook) -> None:
    """Enter ``record.<file>.<row>.*`` of the rows shown, and ``records.<month>.*``."""
    displays = Displays(recorder.program.units, recorder.program.models, tuple(recorder.program.sensors))
    for log in book.units.values():
        charts = charted(recorder.program, book, log)
        rows = [record for record, _ in shown(log)] + [part.record for line in charts.values() for part in line]
        for record in {id(record): record for record in rows}.values():
            _record(recorder, record, book.key_of(record), displays)
        for line in charts.values():
            _days(recorder, [book.key_of(part.record) for part in line])
    _months(recorder, book)


# ---- rows ----------------------------------------------------------------------------


def shown(log: UnitLog) -> tuple[tuple[Record, Verdict], ...]:
    """The latest checks and changes of a unit, newest first; days of use are no checks."""
    found: list[tuple[Record, Verdict]] = []
    for entry in reversed(log.entries):
        if entry[0].kind.value != USE:
            found.append(entry)
        if len(found) == SHOWN:
            break
    return tuple(found)


def charted(program: Program, book: Logbook, log: UnitLog) -> dict[str, tuple[Reading, ...]]:
    """The latest as-found readings of each sensor of a unit that has enough of them for a line."""
    kinds = frozenset((*COMPARED, *(check.kind for check in program.checks.values() if check.adjust)))
    found = readings_of(book, log, kinds)
    return {
        sensor: line
        for sensor, line in found.items()
        if len(line) >= FEWEST and len({part.record.day for part in line}) >= FEWEST
    }


def _days(recorder: FigureRecorder, keys: list[str]) -> None:
    first = recorder.ledger[f"{keys[0]}.day"]
    for key in keys:
        day = recorder.ledger[f"{key}.day"]
        since = clock.days_left(cast("date", day.exact), cast("date", first.exact))
        label = f"Days since the first reading of its chart, {key}"
        inputs = [of(day), of(first)]
        recorder.number(f"{key}.days", label, since, "days", None, clock.days_left, inputs)


def _record(recorder: FigureRecorder, record: Record, key: str, displays: Displays) -> None:
    words = f"record {record.where}"
    recorder.day(f"{key}.day", f"Day of {words}", record.day, origin.day_stated, [given("time", record.time)])
    unit = displays.of(record.unit.value, record.sensor.value) if record.sensor else None
    if unit is not None and record.as_found:
        _reading(recorder, f"{key}.as-found", f"As found, {words}", record.as_found, unit)
    if unit is not None and record.as_left:
        _reading(recorder, f"{key}.as-left", f"As left, {words}", record.as_left, unit)
    if record.seconds:
        _reading(recorder, f"{key}.seconds", f"Seconds until the alarm, {words}", record.seconds, "s")


def _reading(recorder: FigureRecorder, key: str, label: str, value: Given[Fraction], unit: str) -> None:
    written = Given(quantity(value.value, unit), value.where, value.text)
    if as_written(value.text).apply(value.value) == value.value:
        recorder.stated(key, label, written, unit)
    else:  # written in another unit, so the digits of the text say nothing
        recorder.number(key, label, written.value, unit, None, origin.stated, [given(label, value)])


# ---- months --------------------------------------------------------------------------


def months(ledger: Ledger) -> tuple[str, ...]:
    """The months that have figures, newest first, as in ``2026-11``."""
    found = {figure.key.split(".")[1] for figure in ledger.under("records")}
    return tuple(sorted(found, reverse=True))


def _months(recorder: FigureRecorder, book: Logbook) -> None:
    """Count all rows in one pass, then enter the latest months."""
    rows: Counter[tuple[Month, str, bool | None]] = Counter()
    for log in book.units.values():
        for record, verdict in log.entries:
            if record.kind.value != USE:
                rows[_month(record.day), record.kind.value, verdict.good] += 1
    kept = _kept_by_month(recorder, book)
    for month in sorted({month for month, _, _ in rows}, reverse=True)[:MONTHS]:
        name = f"{month[0]}-{month[1]:02}"
        for kind in dict.fromkeys(kind for found, kind, _ in rows if found == month):
            key, words = f"records.{name}.{kind}", f"{kind.replace('-', ' ')} in {name}"
            every = [rows[month, kind, verdict] for verdict in (True, False, None)]
            _count(recorder, f"{key}.rows", f"Rows of {words}", sum(every))
            _count(recorder, f"{key}.good", f"Rows that prove a pass, {words}", every[0])
            _count(recorder, f"{key}.failed", f"Rows that show a fail, {words}", every[1])
        for check in recorder.program.checks.values():
            _on_time(recorder, check, name, kept[month, check.id, True], kept[month, check.id, False])


def _month(day: date) -> Month:
    return day.year, day.month


def _count(recorder: FigureRecorder, key: str, label: str, count: int) -> Figure:
    counted = Input(label="rows counted", text=str(count), source="records, judged again")
    return recorder.number(
        key, label, quantity(count, ""), "", None, origin.stated, [counted], source="records, judged again"
    )


def _on_time(recorder: FigureRecorder, check: Check, month: str, kept: int, late: int) -> None:
    if not kept + late:
        return
    inputs = [
        Input(label="on time", text=str(kept), source="records"),
        Input(label="n, all", text=str(kept + late), source="records"),
    ]
    value = history.on_time(quantity(kept, ""), quantity(kept + late, ""))
    label = f"{check.name} on time in {month}"
    key = f"records.{month}.{check.id}.on-time"
    recorder.number(key, label, value, "%", MERIT, history.on_time, inputs, note=f"n = {kept + late}")


def _kept_by_month(recorder: FigureRecorder, book: Logbook) -> Counter[tuple[Month, str, bool]]:
    """How many intervals ended in time, and how many late, by month and check."""
    made: Counter[tuple[Month, str, bool]] = Counter()
    for unit in recorder.program.units.values():
        log = book.units.get(unit.id)
        if log is None or unit.state.value not in CHECKED_STATES:
            continue
        for check in recorder.program.checks.values():
            if check.what in log.good_days:
                made.update((_month(day), check.id, good) for day, good in _kept(recorder, book, unit, check, log))
    return made


def _kept(
    recorder: FigureRecorder, book: Logbook, unit: Unit, check: Check, log: UnitLog
) -> Iterator[tuple[date, bool]]:
    """Whether each day of use had its check, or each check came before the one before it ran out."""
    intervals = [asked.interval.value for asked in check.asked_in(unit.place, unit.model.value)]
    good = sorted(set(log.good_days[check.what]))
    if any(interval.each_day_of_use for interval in intervals):
        done = set(good)
        yield from ((day, day in done) for day in log.use_days[bisect_left(log.use_days, good[0]) :])
        return
    ends = [interval for interval in intervals if not interval.days_of_use]
    for earlier, later in pairwise(good) if ends else ():
        yield later, later <= min(due_day(recorder, book, log.use_days, interval, earlier) for interval in ends)
