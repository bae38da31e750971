"""A unit whose calendar check is overdue, was never done, or is dated after the handbook's day.

The due day itself is still good. Checks before each day of use are not judged by the calendar, and a pump test not on
models without a pump, nor the change of a part on models without it. Source: the site's own check plan, which names
the source of each interval.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.figures.day_margins import day_of, past, today
from builder.figures.due_checks import is_asked_of
from builder.figures.ledger import Ledger
from builder.findings.wording import keys
from builder.program.checks import Check
from builder.program.interval import Interval
from builder.program.inventory import CHECKED_STATES, Unit
from builder.program.keys.families import UNIT_DUE, UNIT_LAST
from builder.program.program import Program

ID = "check-overdue"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for a unit in use, a ``warn`` for a spare one."""
    program, ledger = computed.program, computed.ledger
    for unit in program.units.values():
        for check in program.checks.values():
            if not _judged(program, unit, check):
                continue
            told = _fault(unit, check, ledger)
            if told:
                yield Finding(
                    rule=ID,
                    severity=Severity.STOP if unit.state.value == "in-use" else Severity.WARN,
                    message=f"Unit {unit.id} ({unit.state.value}): {check.name} "
                    f"(every {_interval(unit, check).value.text}) {told}.",
                    where=unit.last[check.id].where if check.id in unit.last else unit.where,
                    figures=keys(
                        ledger.get(UNIT_LAST(unit=unit.id, check=check.id)),
                        ledger.get(UNIT_DUE(unit=unit.id, check=check.id)),
                    ),
                    source=check.source.value,
                    mend="do the check and enter its day, or take the unit out of use",
                    subject=f"unit:{unit.id}",
                )


def _judged(program: Program, unit: Unit, check: Check) -> bool:
    if unit.state.value not in CHECKED_STATES or not is_asked_of(program, unit, check):
        return False
    return not _interval(unit, check).value.each_day_of_use


def _interval(unit: Unit, check: Check) -> Given[Interval]:
    strictest = check.strictest_in(unit.place, unit.model.value)
    return strictest.interval if strictest else check.interval


def _fault(unit: Unit, check: Check, ledger: Ledger) -> str:
    last, due = unit.last.get(check.id), ledger.get(UNIT_DUE(unit=unit.id, check=check.id))
    shown = day_of(ledger.get(UNIT_LAST(unit=unit.id, check=check.id)))
    if last is None and shown is None:
        return "has no day on which it was last good"
    if last is not None and last.value > today(ledger):
        return f"is dated {last.text}, after the day this handbook is judged on"
    day = day_of(due)
    if due is None or day is None:
        return "was not shown good for every sensor since a failure or a change of sensor"
    return f"was due by {due.printed}" if past(day, today(ledger)) else ""
