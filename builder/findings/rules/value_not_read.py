"""A setpoint or its limit that rests on a value nobody read in its source.

Such a value never decides a ``stop``, so a comparison with it proves less than it seems. Source: the reading state of
each table.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.findings.alarms import comparisons, placed_alarms
from builder.findings.judged import keys
from builder.program.program import Program
from builder.program.setpoints import Alarm

ID = "value-not-read"


def rule(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A ``note`` for each figure and alarm."""
    told: set[tuple[str, Where]] = set()
    used = [(placed.figure, placed.alarm, placed.area.id) for placed in placed_alarms(program, ledger)]
    for compared in comparisons(program, ledger):
        placed = compared.placed
        used += [(figure, placed.alarm, placed.area.id) for figure in (compared.shown, compared.limit)]
    for figure, alarm, area in used:
        if not figure.read and (figure.key, alarm.value.where) not in told:
            told.add((figure.key, alarm.value.where))
            yield _finding(figure, alarm, area)


def _finding(figure: Figure, alarm: Alarm, area: str) -> Finding:
    unread = [part.label for part in figure.inputs if not part.read]
    return Finding(
        rule=ID,
        severity=Severity.NOTE,
        message=f"{figure.label} ({figure.printed}) rests on a value that was not read in its source"
        + (f": {'; '.join(unread)}." if unread else "."),
        where=(alarm.protects or alarm.value).where,
        figures=keys(figure),
        source=figure.source,
        mend="read the value in its source and mark it so in the table",
        subject=f"area:{area}",
    )
