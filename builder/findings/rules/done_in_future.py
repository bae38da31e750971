"""The inventory or a read-back tells what was done on a day still to come; such a last check hides that one is due.

Source: common practice; a slip in the year, or a day and a month that were swapped.
"""

from collections.abc import Iterator
from datetime import date

from builder.base.finding import Finding, Severity
from builder.base.where import Given, Where
from builder.figures.computed import Computed
from builder.figures.day_margins import today
from builder.figures.figure import day_text
from builder.findings.record_findings import by_cause
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.keys.families import AS_OF
from builder.program.program import Program

ID = "done-in-future"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each unit with such a check, a ``warn`` for each with such a sensor or read-back."""
    program, now, figures = computed.program, today(computed.ledger), keys(computed.ledger.get(AS_OF()))
    yield from by_cause(
        (
            (unit, severity),
            Finding(
                rule=ID,
                severity=severity,
                message=f"Unit {unit}: {what} on {day_text(given.value)}, after the day this handbook is judged on.",
                where=where,
                figures=figures,
                source=COMMON_PRACTICE,
                mend="enter the day on which it really was done",
                subject=f"unit:{unit}" if unit in program.units else "page:checks",
            ),
        )
        for unit, severity, what, given, where in _days(program)
        if given.value > now
    )


def _days(program: Program) -> Iterator[tuple[str, Severity, str, Given[date], Where]]:
    for unit in program.units.values():
        for check, given in unit.last.items():
            yield unit.id, Severity.STOP, f"last {program.checks[check].name}", given, given.where
        for part in unit.sensors:
            if part.fitted is not None:
                yield unit.id, Severity.WARN, f"{part.sensor.value} fitted", part.fitted, part.fitted.where
    for setting in program.settings:
        yield setting.unit.value, Severity.WARN, "settings read", setting.read_on, setting.where
