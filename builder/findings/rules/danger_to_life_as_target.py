"""An alarm that is said to protect the value immediately dangerous to life: nobody may still be there then.

Source: NIOSH Pocket Guide, introduction: the value is for the choice of respirators, it is no limit to work to.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.alarms import PlacedAlarm, area_references, placed_alarms, places
from builder.findings.wording import keys

ID = "danger-to-life-as-target"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each alarm that names such a value, once for all areas."""
    groups: dict[Where, list[PlacedAlarm]] = {}
    for placed in placed_alarms(computed.program, computed.ledger):
        if placed.alarm.protects is not None and placed.alarm.protects.value.rpartition(".")[2] == "idlh":
            groups.setdefault(placed.alarm.protects.where, []).append(placed)
    for where, group in groups.items():
        yield Finding(
            rule=ID,
            severity=Severity.STOP,
            message=f"{places(group)}: the {group[0].called}, {group[0].figure.printed}, is said to protect the value "
            "that is immediately dangerous to life. Whoever hears it may no longer be able to leave.",
            where=where,
            figures=keys(*(placed.figure for placed in group)),
            source="NIOSH Pocket Guide to Chemical Hazards, introduction: a value for the choice of respirators",
            mend="protect a ceiling, a short-term or an average limit",
            subject=f"area:{group[0].area.id}",
            touches=area_references(group),
        )
