"""Rows of a unit's movements that overlap, or leave days of which none tells.

Source: common practice, no published source; one unit is in one place and one state at a time.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import moment_text
from builder.figures.logbook.states import breaks, by_unit
from builder.findings.record_findings import first_and_count
from builder.findings.wording import COMMON_PRACTICE
from builder.program.inventory import CHECKED_STATES
from builder.program.movements import Movement

ID = "movements-do-not-meet"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` where only one of two overlapping states allows use, else a ``warn``."""
    found = (_finding(*pair) for rows in by_unit(computed.program).values() for pair in breaks(rows))
    yield from first_and_count(found)


def _finding(earlier: Movement, later: Movement, overlap: bool) -> Finding:
    allow = {row.state.value in CHECKED_STATES for row in (earlier, later)}
    if overlap:
        told = f"is {_so(earlier)} and {_so(later)} at once: the second row begins before the first has ended"
    else:
        end = moment_text(earlier.end.value if earlier.end else None)
        start = moment_text(later.start.value)
        told = f"was {_so(earlier)} until {end}, then {_so(later)} from {start}; between them nothing is known"
    return Finding(
        rule=ID,
        severity=Severity.STOP if overlap and len(allow) > 1 else Severity.WARN,
        message=f"{later.unit.value} {told}.",
        where=later.where,
        source=COMMON_PRACTICE,
        mend="end the earlier row where the later one begins, or enter the row that is missing",
        subject=f"unit:{later.unit.value}",
        lines=(earlier.where, later.where),
    )


def _so(row: Movement) -> str:
    where = f" in {row.area.value}" if row.area else ""
    return f"{row.state.value.replace('-', ' ')}{where}"
