"""Use of a unit after the day since which it may not be used: quarantined, in repair or retired.

Without that day nobody knows which use was meant to be forbidden, and that is told instead. Source: ISO 9001:2015,
7.1.5.2, keeps unfit measuring equipment from use; common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.findings.record_findings import listed_days
from builder.program.inventory import CHECKED_STATES, Unit
from builder.program.keys.families import AS_OF
from builder.program.records import Record

ID = "used-in-forbidden-state"
SEVERITIES = (Severity.STOP, Severity.WARN)
LATELY = timedelta(days=30)
"""Where the day of the state is not told, use within this time before the handbook's day is asked about."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for use on or after that day, a ``warn`` for late use where the day is not told; one a unit."""
    day = computed.ledger.day(AS_OF())
    uses: dict[str, list[Record]] = {}
    for record in computed.program.records:
        if record.kind.value == "use":
            uses.setdefault(record.unit.value, []).append(record)
    for unit in computed.program.units.values():
        if unit.state.value not in CHECKED_STATES:
            yield from _judge(unit, uses.get(unit.id, []), day)


def _judge(unit: Unit, uses: list[Record], day: date) -> Iterator[Finding]:
    start = unit.since.value if unit.since else day - LATELY
    late = [record for record in uses if start <= record.day <= day]
    if not late:
        return
    days = listed_days(sorted({record.day for record in late}))
    told = (
        f"is {unit.state.value} since {day_text(unit.since.value)} and was used after that: {days}"
        if unit.since
        else f"is {unit.state.value}, nobody says since when, and was used in the last 30 days: {days}"
    )
    yield Finding(
        rule=ID,
        severity=Severity.STOP if unit.since else Severity.WARN,
        message=f"{unit.id} {told}.",
        where=unit.state.where,
        source="ISO 9001:2015, 7.1.5.2; common practice",
        mend="find out who used it and what was measured; correct the state, or enter since when under since",
        subject=f"unit:{unit.id}",
        lines=tuple(record.where for record in late),
    )
