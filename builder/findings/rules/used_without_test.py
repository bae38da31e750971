"""A day on which a unit was used before a bump test of that day was passed, though the plan asks for one.

A calibration check or a calibration proves as much. Judged from the day of the site's first recorded test with gas on,
for a site without such records keeps them elsewhere. A use without an hour may follow any test of its day. Source: ISEA
statement carried in OSHA SHIB 11-26-2024, which advises: bump test or calibration check before each day's use.
"""

from collections.abc import Iterator
from datetime import date, time
from itertools import groupby

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import Entry, UnitLog, clears
from builder.findings.record_findings import by_cause, subject
from builder.findings.wording import short_list
from builder.program.checks import WITH_GAS, Check
from builder.program.program import Program
from builder.program.records import Record

ID = "used-without-test"
SEVERITIES = (Severity.WARN,)


Cause = tuple[str, str, tuple[str, ...], bool]
Found = Iterator[tuple[Cause, Finding]]
"""Unit, check, sensors that were not shown good, and whether the test came too late."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each unit, with every day."""
    yield from by_cause(_found(computed.program, computed.logbook))


def _found(program: Program, book: Logbook) -> Found:
    starts = {check.id: _first_test(book, check) for check in program.checks.values()}
    for name, log in book.units.items():
        for check in program.checks.values():
            asked = check.strictest_in(program.units[name].place, program.units[name].model.value)
            start = starts[check.id]
            if start and check.uses_gas and asked and asked.interval.value.each_day_of_use:
                fitted = {part.sensor.value for part in program.models[program.units[name].model.value].positions}
                yield from _of_unit(program, check, log, start, fitted)


def _first_test(book: Logbook, check: Check) -> date | None:
    """The first day of which any record tells of this kind of check, whatever came of it."""
    days = (record.day for log in book.units.values() for record, _ in log.entries if record.kind.value == check.kind)
    return min(days, default=None)


def _of_unit(program: Program, check: Check, log: UnitLog, start: date, fitted: set[str]) -> Found:
    """Every day of use from a day on, with what its tests did not show good in time."""
    tested = {r.sensor.value for r, _ in log.entries if r.sensor and r.kind.value in WITH_GAS} & fitted
    told = {use.where for episode in log.episodes for use in episode.uses}  # by used-while-failed
    for day, rows in groupby(log.entries, key=lambda entry: entry[0].day):
        entries = list(rows)
        use = next((record for record, _ in entries if record.kind.value == "use"), None)
        if use is None or day < start or use.where in told:
            continue
        missing = _not_shown(check, entries, tested, use)
        if missing:
            late = not _not_shown(check, entries, tested, None)
            yield (use.unit.value, check.id, missing, late), _finding(program, check, use, missing, late=late)


def _not_shown(check: Check, entries: list[Entry], tested: set[str], use: Record | None) -> tuple[str, ...]:
    """Sensors that no good check of that day shows before a use, or on the whole day; one empty name for the unit."""
    whole_day = use is None or use.time.value.time() == time.min
    proved = [
        record.sensor.value if record.sensor else ""
        for record, verdict in entries
        if verdict.good
        and clears(record.kind.value, check.kind)
        and (whole_day or use is None or record.time.value <= use.time.value)
    ]
    return () if "" in proved else tuple(sorted((tested or {""}) - set(proved)))


def _finding(program: Program, check: Check, use: Record, missing: tuple[str, ...], *, late: bool) -> Finding:
    names = [program.sensors[sensor].name for sensor in missing if sensor]
    of = f" of {short_list(names)}" if names else ""
    what = "was passed only after it was used" if late else "is recorded as passed on that day"
    told = f"its {check.name.lower()}{of} {what}" if late else f"no {check.name.lower()}{of} {what}"
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{use.unit.value} was used on {day_text(use.day)}, but {told}.",
        where=use.where,
        source=check.source.value,
        mend="add the record if the test was done; else judge what was measured that day, and say why it was used",
        subject=subject(program, use),
    )
