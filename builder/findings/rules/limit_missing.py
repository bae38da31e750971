"""An alarm naming an exposure limit that cannot be compared: no such value, or no factor of the sensor for its gas.

Nor is a value compared that a newer edition has replaced by a number nobody read. Source: the lists of exposure
limits of the reference library.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.alarms import (
    PlacedAlarm,
    placed_alarms,
    protected_factor,
    protected_gas,
    protected_limit,
    protects_key,
)
from builder.findings.wording import keys

ID = "limit-missing"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop``: an alarm that protects nothing known is not shown to be safe."""
    program, ledger = computed.program, computed.ledger
    for placed in placed_alarms(program, ledger):
        if placed.alarm.protects is None:
            continue
        named = f"{placed.alarm.protects.value} of {program.gases[protected_gas(placed)].name}"
        if ledger.get(protects_key(placed)) is None:
            yield _finding(placed, f"{named}, but that list has no such limit", "name a limit that the list has")
        elif (value := protected_limit(program, ledger, placed)) is not None and value.superseded:
            told = f"{named}, but {value.text} {value.unit} is superseded: {value.superseded}"
            yield _finding(placed, told, "name another limit, or bring the new value (lists/*.yaml)")
        elif protected_factor(placed) is None:
            told = f"{named}, but a sensor there has no factor for that gas"
            yield _finding(placed, told, "give the sensor's factor for that gas, or protect the gas it shows")


def _finding(placed: PlacedAlarm, what: str, mend: str) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.STOP,
        message=f"{placed.area.name}: the {placed.called} is said to protect {what}.",
        where=placed.alarm.protects.where if placed.alarm.protects else placed.alarm.value.where,
        figures=keys(placed.figure),
        source="lists of exposure limits of the reference library",
        mend=mend,
        subject=f"area:{placed.area.id}",
    )
