"""A record marked pass whose reading lies outside the window of that day's cylinder, or whose alarm came too late.

Judged by the reading as found; a calibration that says what it left, by that. A reading that fails only by a guard band
that nobody read in its source warns. Source: the acceptance the site's own check plan states.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import Entry
from builder.figures.logbook.verdicts import window_for
from builder.findings.record_findings import entries, first_and_count, row_text, subject
from builder.findings.wording import keys
from builder.program.keys.families import CHECK_ALARMS_WITHIN, WINDOW_FROM, WINDOW_TO
from builder.program.program import Program

ID = "record-pass-outside-window"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each row."""
    program, ledger = computed.program, computed.ledger
    book = computed.logbook
    yield from first_and_count(
        _finding(program, entry, _figures(program, ledger, book, entry))
        for entry in entries(book)
        if entry[1].outside and entry[0].result is not None and entry[0].result.value == "pass"
    )


def _figures(program: Program, ledger: Ledger, book: Logbook, entry: Entry) -> tuple[Figure, ...]:
    record, verdict = entry
    if verdict.outside == "seconds":
        checks = [check.id for check in program.checks.values() if check.kind == record.kind.value]
        found = [ledger.get(CHECK_ALARMS_WITHIN(check=check)) for check in checks]
        return tuple(figure for figure in found if figure is not None)[:1]
    window = window_for(record, book.windows)
    ends = [ledger.get(edge.on(window.key)) for edge in (WINDOW_FROM, WINDOW_TO)] if window else []
    return tuple(figure for figure in ends if figure is not None)


def _finding(program: Program, entry: Entry, figures: tuple[Figure, ...]) -> Finding:
    record, verdict = entry
    given = {"as-found": record.as_found, "as-left": record.as_left, "seconds": record.seconds}[verdict.outside]
    value = given.text if given else ""
    if verdict.outside == "seconds":
        what = f"the alarm came after {value} s, allowed are {' or '.join(figure.printed for figure in figures)}"
    else:
        words = {"as-found": "as found", "as-left": "as left"}[verdict.outside]
        what = f"{words} {value} lies outside {' to '.join(figure.printed for figure in figures)}"
    caveat = "" if verdict.sure else " This only warns: it fails by a guard band that was not read in its source."
    return Finding(
        rule=ID,
        severity=Severity.STOP if verdict.sure else Severity.WARN,
        message=f"{row_text(program, record)}: marked pass, but {what}.{caveat}",
        where=record.where,
        figures=keys(*figures),
        source="acceptance of the site's own check plan",
        mend="treat it as failed: adjust, check again, and look back at what was measured since the last good check",
        subject=subject(program, record),
    )
