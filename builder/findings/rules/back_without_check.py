"""A unit that came back from quarantine, repair, loan or retirement and has no good check with gas since.

Looked for from the first moment of that state until the first use after it. Source: the instruments' manuals and common
practice; ISO 9001:2015, 7.1.5.2.
"""

from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.figures.logbook.states import Stay
from builder.figures.logbook.units import UnitLog
from builder.program.checks import WITH_GAS
from builder.program.inventory import CHECKED_STATES
from builder.program.keys.families import AS_OF

ID = "back-without-check"
SEVERITIES = (Severity.STOP, Severity.WARN)
AWAY = {"quarantined": "quarantine", "repair": "repair", "lent": "a loan", "retired": "retirement"}


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` while it may still be used unchecked, a ``warn`` where that is over; one for each return."""
    book, day = computed.logbook, computed.ledger.day(AS_OF())
    for unit, stays in book.stays.items():
        for before, after in pairwise(stays):
            back = before.state in AWAY and after.state in CHECKED_STATES
            begun = isinstance(after.start, datetime) and after.start.date() <= day
            if back and begun and not _checked(book.units.get(unit), before, after):
                yield _finding(unit, before, after)


def _checked(log: UnitLog | None, before: Stay, after: Stay) -> bool:
    entries = log.entries if log else ()
    good = [record.time.value for record, verdict in entries if verdict.good and record.kind.value in WITH_GAS]
    uses = [
        record.time.value for record, _ in entries if record.kind.value == "use" and after.holds_at(record.time.value)
    ]
    first_use = min(uses, default=None)
    return any(
        (not isinstance(before.start, datetime) or before.start <= moment)
        and (first_use is None or moment <= first_use)
        and (after.end is None or moment < after.end)
        for moment in good
    )


def _finding(unit: str, before: Stay, after: Stay) -> Finding:
    start = day_text(after.start.date()) if isinstance(after.start, datetime) else ""
    return Finding(
        rule=ID,
        severity=Severity.STOP if after.end is None else Severity.WARN,
        message=f"{unit} came back from {AWAY[before.state]} on {start}, and no good check with gas since "
        "is on record before it was used.",
        where=after.where,
        source="the instrument's manual; ISO 9001:2015, 7.1.5.2",
        mend="calibrate it, readings as found first, before anybody takes it; or add the record of that check",
        subject=f"unit:{unit}",
        lines=(before.where, after.where),
    )
