"""A reading found outside, or a failed check: everything measured since the last good check is in doubt.

The last good check is one of the same kind or one that proves more. Source: ISO 9001:2015, 7.1.5.2, where a measuring
instrument is found unfit.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.figures.logbook.units import LookBack
from builder.findings.record_findings import first_and_count, listed_days, row_text, subject
from builder.program.program import Program

ID = "look-back"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such row, with every day of use."""
    book = computed.logbook
    yield from first_and_count(
        _finding(computed.program, back, counts_use=book.counts_use)
        for log in book.units.values()
        for back in log.look_backs
    )


def _finding(program: Program, back: LookBack, *, counts_use: bool) -> Finding:
    record, _ = back.entry
    failed = record.result is not None and record.result.value == "fail"
    what = "it failed" if failed else "its reading was outside what is permitted"
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{row_text(program, record)}: {what}. {_doubt(back, counts_use=counts_use)}",
        where=record.where,
        source="ISO 9001:2015, 7.1.5.2",
        mend="judge what was measured on those days again, and write down what was done about it",
        subject=subject(program, record),
    )


def _doubt(back: LookBack, *, counts_use: bool) -> str:
    """Since when nothing shows that the unit read right, and on which days it was used meanwhile."""
    if back.again:
        since = "It had failed before, with no good check in between"
    elif back.since:
        since = f"Its last good check before was on {day_text(back.since)}"
    else:
        since = "No good check before it is recorded"
    if not counts_use:
        return f"{since}. As the records tell of no use at all, what it showed on any day until then is in doubt."
    if not back.days:
        return f"{since}. No use is recorded since, though it could be used: ask where it was."
    return f"{since}. What it showed until then is in doubt; it was used in {listed_days(back.days)}."
