"""A record dated after the handbook's day, which therefore proves nothing yet.

Source: common practice; clocks of instruments go wrong.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.ledger import Ledger
from builder.findings.day_margins import AS_OF
from builder.findings.record_findings import book_of, bounded, subject, told
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.program import Program
from builder.program.records import Record

ID = "record-in-future"


def rule(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A ``warn`` for each row."""
    yield from bounded(_finding(program, ledger, record) for record in book_of(program, ledger).future)


def _finding(program: Program, ledger: Ledger, record: Record) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{told(program, record)}: that is after the day this handbook is judged on.",
        where=record.where,
        figures=keys(ledger.get(AS_OF)),
        source=COMMON_PRACTICE,
        mend="mend the date, set the clock that wrote it, or judge the handbook on a later day",
        subject=subject(program, record),
    )
