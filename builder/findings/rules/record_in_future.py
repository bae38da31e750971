"""A record dated after the handbook's day, which therefore proves nothing yet.

Source: common practice; clocks of instruments go wrong.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.findings.record_findings import by_cause, row_text, subject
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.keys.families import AS_OF
from builder.program.program import Program
from builder.program.records import Record

ID = "record-in-future"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each unit, with all its rows."""
    program, ledger = computed.program, computed.ledger
    yield from by_cause((record.unit.value, _finding(program, ledger, record)) for record in computed.logbook.future)


def _finding(program: Program, ledger: Ledger, record: Record) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{row_text(program, record)}: that is after the day this handbook is judged on.",
        where=record.where,
        figures=keys(ledger.get(AS_OF())),
        source=COMMON_PRACTICE,
        mend="mend the date, set the clock that wrote it, or judge the handbook on a later day",
        subject=subject(program, record),
    )
