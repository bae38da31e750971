"""What the pages show of the records: the latest rows of each unit as written, and each month in numbers."""

from collections import Counter
from collections.abc import Mapping
from datetime import date
from typing import TypeAlias

from builder.base.quantity import quantity
from builder.figures.figure import Figure
from builder.figures.formulas import clock, origin
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.readings import Reading, readings_of
from builder.figures.logbook.units import UnitLog
from builder.figures.logbook.verdicts import Verdict
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import as_written
from builder.figures.terms import constant, written
from builder.figures.topics.intervals import on_time, rhythm_of
from builder.figures.topics.recommend import kinds_of
from builder.program.keys import families as keyed
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
COUNTED = "records, judged again"
Month: TypeAlias = tuple[int, int]
"""Year and month."""


def compute(recorder: FigureRecorder, book: Logbook) -> None:
    """Enter ``record.<file>.<row>.*`` of the rows shown, and ``records.<month>.*``."""
    displays = Displays(recorder.program.units, recorder.program.models, recorder.program.sensors)
    for log in book.units.values():
        charts = charted_readings(recorder.program, book, log)
        rows = [
            *(record for record, _ in latest_rows(log)),
            *(part.record for line in charts.values() for part in line),
        ]
        for record in {id(record): record for record in rows}.values():
            _record(recorder, record, book.key_of(record), displays)
        for line in charts.values():
            _days(recorder, [book.key_of(part.record) for part in line])
    _months(recorder, book)


# ---- rows ----------------------------------------------------------------------------


def latest_rows(log: UnitLog) -> tuple[tuple[Record, Verdict], ...]:
    """The latest checks and changes of a unit, newest first; days of use are no checks."""
    found: list[tuple[Record, Verdict]] = []
    for entry in reversed(log.entries):
        if entry[0].kind.value != USE:
            found.append(entry)
        if len(found) == SHOWN:
            break
    return tuple(found)


def charted_readings(program: Program, book: Logbook, log: UnitLog) -> dict[str, tuple[Reading, ...]]:
    """The latest as-found readings of each sensor of a unit that has enough of them for a line."""
    found = readings_of(book, log, kinds_of(program))
    return {
        sensor: line
        for sensor, line in found.items()
        if len(line) >= FEWEST and len({part.record.day for part in line}) >= FEWEST
    }


def _days(recorder: FigureRecorder, keys: list[str]) -> None:
    first = recorder.ledger[keyed.RECORD_DAY.on(keys[0])]
    for key in keys:
        day = recorder.ledger[keyed.RECORD_DAY.on(key)]
        label = f"Days since the first reading of its chart, {key}"
        recorder.derived(keyed.RECORD_DAYS.on(key), label, "days", None, clock.days_left, day, first)


def _record(recorder: FigureRecorder, record: Record, key: str, displays: Displays) -> None:
    words = f"record {record.where}"
    recorder.derived(
        keyed.RECORD_DAY.on(key),
        f"Day of {words}",
        "",
        None,
        origin.day_stated,
        written("time", record.given(record.time), record.day),
    )
    shown = displays.of(record.unit.value, record.sensor.value) if record.sensor else None
    for family, what, cell, unit in (
        (keyed.RECORD_AS_FOUND, "As found", record.as_found, shown),
        (keyed.RECORD_AS_LEFT, "As left", record.as_left, shown),
        (keyed.RECORD_SECONDS, "Seconds until the alarm", record.seconds, "s"),
    ):
        if cell is not None and unit is not None:
            as_text = as_written(cell.text)
            rounding = as_text if as_text.apply(cell.value) == cell.value else None  # else written in another unit
            label = f"{what}, {words}"
            term = written(label, record.given(cell), quantity(cell.value, unit))
            recorder.derived(family.on(key), label, unit, rounding, origin.stated, term)


# ---- months --------------------------------------------------------------------------


def months(ledger: Ledger) -> tuple[str, ...]:
    """The months that have figures, newest first, as in ``2026-11``."""
    found = (keyed.MONTH_ROWS.read(figure.key) for figure in ledger.under(keyed.MONTH_ROWS.start()))
    return tuple(sorted({parts["month"] for parts in found if parts}, reverse=True))


def _months(recorder: FigureRecorder, book: Logbook) -> None:
    """Count all rows in one pass, then enter the latest months."""
    rows: Counter[tuple[Month, str, bool | None]] = Counter()
    every: Counter[tuple[Month, str]] = Counter()
    for log in book.units.values():
        checks = [(_month(record.day), record.kind.value, verdict.good) for record, verdict in log.entries]
        rows.update(row for row in checks if row[1] != USE)
        every.update((month, kind) for month, kind, _ in checks if kind != USE)
    kept = _kept_by_month(recorder, book)
    for month in sorted({month for month, _ in every}, reverse=True)[:MONTHS]:
        name = f"{month[0]}-{month[1]:02}"
        for kind in dict.fromkeys(kind for found, kind in every if found == month):
            words = f"{kind.replace('-', ' ')} in {name}"
            _count(recorder, keyed.MONTH_ROWS(month=name, record=kind), f"Rows of {words}", every[month, kind])
            label = f"Rows that prove a pass, {words}"
            _count(recorder, keyed.MONTH_GOOD(month=name, record=kind), label, rows[month, kind, True])
            label = f"Rows that show a fail, {words}"
            _count(recorder, keyed.MONTH_FAILED(month=name, record=kind), label, rows[month, kind, False])
        for check in recorder.program.checks.values():
            label = f"{check.name} on time in {name}"
            on_time(
                recorder, keyed.MONTH_ON_TIME(month=name, check=check.id), label, kept.get((month, check.id), []), ""
            )


def _month(day: date) -> Month:
    return day.year, day.month


def _count(recorder: FigureRecorder, key: str, label: str, count: int) -> Figure:
    counted = constant("rows counted", quantity(count, ""), str(count), source=COUNTED)
    return recorder.derived(key, label, "", None, origin.stated, counted, source=COUNTED)


def _kept_by_month(recorder: FigureRecorder, book: Logbook) -> Mapping[tuple[Month, str], list[bool]]:
    """Whether each interval that ended in a month was kept, by month and check."""
    counting = rhythm_of(recorder, book)
    made: dict[tuple[Month, str], list[bool]] = {}
    for unit in recorder.program.units.values():
        log = book.units.get(unit.id)
        if log is None or not unit.checked:
            continue
        for check in recorder.program.checks.values():
            if check.what in log.good_days:
                for day, good in counting.kept(unit, check, log):
                    made.setdefault((_month(day), check.id), []).append(good)
    return made
