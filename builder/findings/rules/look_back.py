"""A reading found outside, or a failed check: everything measured since the last good check is in doubt.

The last good check is one of the same kind or one that proves more. Source: ISO 9001:2015, 7.1.5.2, where a measuring
instrument is found unfit.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.bench import spelled
from builder.figures.ledger import Ledger
from builder.figures.logbook.units import LookBack
from builder.findings.rows import book_of, bounded, listed_days, subject, told
from builder.program.program import Program

ID = "look-back"


def rule(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A ``warn`` for each such row, with every day of use."""
    book = book_of(program, ledger)
    yield from bounded(
        _finding(program, back, counts_use=book.counts_use) for log in book.units.values() for back in log.look_backs
    )


def _finding(program: Program, back: LookBack, *, counts_use: bool) -> Finding:
    record, _ = back.entry
    since = f"since the last good one, {spelled(back.since)}" if back.since else "ever"
    if back.again:
        since = "since it failed before"
    days = f"days of use {since}: {listed_days(back.days)}" if back.days else f"no use is recorded {since}"
    if not counts_use:
        days = f"no use is recorded at all, so every day {since} counts"
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{told(program, record)}: found outside or failed; {days}.",
        where=record.where,
        source="ISO 9001:2015, 7.1.5.2",
        mend="judge what was measured on those days again, and write down what was done about it",
        subject=subject(program, record),
    )
