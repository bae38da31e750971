"""A limit that an alarm protects and that was read in one copy only, so that a slip of that copy would pass.

Such a value may still stop a release: only what passes by it is proved less. Source: the second reading of each table.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.findings.alarms import PlacedAlarm, area_references, placed_alarms, protected_gas, protected_limit
from builder.findings.wording import keys

ID = "value-read-once"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each such limit, once for all alarms of one line."""
    program, ledger = computed.program, computed.ledger
    groups: dict[Given[str], list[PlacedAlarm]] = {}
    for placed in placed_alarms(program, ledger):
        value = protected_limit(program, ledger, placed)
        if value is not None and value.read_once and placed.alarm.protects is not None:
            groups.setdefault(placed.alarm.protects, []).append(placed)
    for protects, group in groups.items():
        value = protected_limit(program, ledger, group[0])
        if value is not None:
            yield Finding(
                rule=ID,
                severity=Severity.NOTE,
                message=f"The {group[0].called} protects {protects.value} of "
                f"{program.gases[protected_gas(group[0])].name}, {value.text} {value.unit}, read in one copy only.",
                where=protects.where,
                figures=keys(*(placed.figure for placed in group)),
                source=value.source.cited(),
                mend="read the value in its source and compare",
                subject=f"area:{group[0].area.id}",
                touches=area_references(group),
            )
