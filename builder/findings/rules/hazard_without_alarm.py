"""A hazard that a detector sees, but for which no alarm is set in that area.

A time-weighted alarm alone does not count: it says nothing at the door. Oxygen needs its alarm for
too little where that is the risk, its alarm for too much where that is. Source: common practice.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.sensor_coverage import alarms_wanted, seers
from builder.findings.wording import COMMON_PRACTICE
from builder.program.areas import Area, Hazard
from builder.program.program import Program

ID = "hazard-without-alarm"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each such hazard."""
    program = computed.program
    for area in program.areas.values():
        for hazard in area.hazards:
            channels = {sensor.channel.value for _, _, sensor in seers(program, area, hazard.gas.value)}
            lacking = _lacking(program, area, hazard, channels)
            if channels and lacking:
                yield Finding(
                    rule=ID,
                    severity=Severity.STOP,
                    message=f"{area.name}: {program.gases[hazard.gas.value].name} is seen by the "
                    f"{' and '.join(sorted(channels))} channel, but no {lacking} alarm is set there.",
                    where=hazard.gas.where,
                    source=COMMON_PRACTICE,
                    mend=f"set a {lacking} alarm of that channel for this area",
                    subject=f"area:{area.id}",
                )


def _lacking(program: Program, area: Area, hazard: Hazard, channels: set[str]) -> str:
    entries = (program.setpoint(area.id, channel) for channel in sorted(channels))
    found = {name for entry in entries if entry for name in entry.alarms}
    wanted = alarms_wanted(program, hazard)
    if wanted:
        return " or ".join(name for name in wanted if name not in found)
    return "" if found & {"low", "high"} else "low or high"
