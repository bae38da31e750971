"""An alarm that stands exactly at its limit, so that instrument error and response time have no room.

Source: common practice; an alarm set at the legal value does not protect it.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.ledger import Ledger
from builder.findings.alarms import comparisons
from builder.findings.judged import COMMON_PRACTICE, keys
from builder.program.program import Program

ID = "alarm-at-limit"


def rule(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A ``note`` for each alarm equal to its limit and not beyond it."""
    for compared in comparisons(program, ledger):
        placed, limit = compared.placed, compared.limit
        if compared.equal and not compared.beyond:
            yield Finding(
                rule=ID,
                severity=Severity.NOTE,
                message=f"{placed.area.name}: the {placed.called} {compared.sounds_at}, exactly at the limit, "
                f"{limit.printed}; instrument error and response time have no room.",
                where=placed.alarm.value.where,
                figures=keys(placed.figure, compared.shown, limit),
                source=COMMON_PRACTICE,
                mend=f"set it {'higher' if compared.falling else 'lower'} by the instrument's error, or state why not",
                subject=f"area:{placed.area.id}",
            )
