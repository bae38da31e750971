"""A record or movement dated after the handbook's day, which therefore proves nothing yet.

Source: common practice; clocks of instruments go wrong.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.figures.ledger import Ledger
from builder.findings.record_findings import by_cause, row_text
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.keys.families import AS_OF
from builder.program.program import Program
from builder.program.records import Record

ID = "record-in-future"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each unit, with all its rows."""
    program, ledger = computed.program, computed.ledger
    day = ledger.day(AS_OF())
    rows = [(record.unit.value, _finding(program, ledger, record)) for record in computed.logbook.future]
    rows += [
        (
            row.unit.value,
            _told(program, ledger, row.unit.value, row.where, f"{row.unit.value}, moved on {day_text(start)}"),
        )
        for row in program.movements
        if (start := row.start.value.date()) > day
    ]
    yield from by_cause(rows)


def _finding(program: Program, ledger: Ledger, record: Record) -> Finding:
    return _told(program, ledger, record.unit.value, record.where, row_text(program, record))


def _told(program: Program, ledger: Ledger, unit: str, where: Where, told: str) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{told}: that is after the day this handbook is judged on.",
        where=where,
        figures=keys(ledger.get(AS_OF())),
        source=COMMON_PRACTICE,
        mend="mend the date, set the clock that wrote it, or judge the handbook on a later day",
        subject=f"unit:{unit}" if unit in program.units else "page:checks",
    )
