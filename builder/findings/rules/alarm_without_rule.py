"""A flammable or oxygen alarm to which no rule of the place and activities gives a number, so nothing was compared.

Source: the rules table; some places ask for a risk assessment instead of a number.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.ledger import Ledger
from builder.findings.alarms import Placed, limit_key, placed_alarms
from builder.findings.judged import keys, listed
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN

ID = "alarm-without-rule"


def rule(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A ``note`` for each such alarm, once for all its areas."""
    groups: dict[Where, list[Placed]] = {}
    for placed in placed_alarms(program, ledger):
        judged = placed.channel == FLAMMABLE or (placed.channel == OXYGEN and placed.alarm.name in ("low", "high"))
        if judged and ledger.get(limit_key(placed)) is None:
            groups.setdefault(placed.alarm.value.where, []).append(placed)
    for where, group in groups.items():
        yield Finding(
            rule=ID,
            severity=Severity.NOTE,
            message=f"The {group[0].called} in {listed([placed.area.name for placed in group])} was compared with "
            f"nothing: no rule of the place and activities has a number for it.",
            where=where,
            figures=keys(*(placed.figure for placed in group)),
            source="table of rules, place " + program.site.place.value,
            mend="check that the areas name all their activities; else the setpoint's reason must stand by itself",
            subject=f"area:{group[0].area.id}",
        )
