"""A flammable or oxygen alarm to which no rule of the place and activities gives a number, so nothing was compared.

Source: the rules table; some places ask for a risk assessment instead of a number.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.ledger import Ledger
from builder.findings.alarms import limit_key, placed_alarms
from builder.findings.judged import keys
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN

ID = "alarm-without-rule"


def rule(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A ``note`` for each such alarm."""
    for placed in placed_alarms(program, ledger):
        judged = placed.channel == FLAMMABLE or (placed.channel == OXYGEN and placed.alarm.name in ("low", "high"))
        if judged and ledger.get(limit_key(placed)) is None:
            yield Finding(
                rule=ID,
                severity=Severity.NOTE,
                message=f"{placed.area.name}: no rule of the place and activities has a number for the "
                f"{placed.called}, so {placed.figure.printed} was compared with nothing.",
                where=placed.alarm.value.where,
                figures=keys(placed.figure),
                source="table of rules, place " + program.site.place.value,
                mend="check that the area names all its activities; else the setpoint's reason must stand by itself",
                subject=f"area:{placed.area.id}",
            )
