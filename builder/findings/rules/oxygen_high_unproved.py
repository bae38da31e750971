"""Oxygen enrichment is a hazard of an area, and no gas ever sets off the high oxygen alarm of the units used there.

Mixed gas is low in oxygen and proves the low alarm alone. Source: the definition of a bump test in OSHA's bulletin of
26 Nov 2024 and before it ISEA's, gas strong enough to set off every alarm.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import quantity
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.figures.formulas.acceptance import alarm_trips, share
from builder.findings.bumps import bump_cylinders
from builder.findings.sensor_coverage import alarms_wanted
from builder.findings.wording import keys, short_list
from builder.program.areas import Area
from builder.program.cylinders import Cylinder
from builder.program.inventory import Unit
from builder.program.keys.families import SETPOINT
from builder.program.program import Program
from builder.program.sensors import OXYGEN

ID = "oxygen-high-unproved"
SEVERITIES = (Severity.WARN,)
ACCEPTABLE = True


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such area."""
    program = computed.program
    for area in program.areas.values():
        risky = next((hazard for hazard in area.hazards if "high" in alarms_wanted(program, hazard)), None)
        alarm = computed.ledger.get(SETPOINT(area=area.id, channel=OXYGEN, alarm="high"))
        if risky is None or alarm is None:
            continue
        unproved = [unit.id for unit in program.units.values() if _used_unproved(program, unit, area, alarm)]
        if unproved:
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{area.name}: too much oxygen is a hazard, but no gas sets off the high oxygen alarm at "
                f"{alarm.printed} of {short_list(unproved)}.",
                where=risky.gas.where,
                figures=keys(alarm),
                source="OSHA bulletin on verifying calibration of 26 Nov 2024; a bump test sets off every alarm",
                mend="give those units a second cylinder with oxygen above the alarm, or answer for it by name",
                subject=f"area:{area.id}",
            )


def _used_unproved(program: Program, unit: Unit, area: Area, alarm: Figure) -> bool:
    sensors = [sensor for _, sensor in program.fitted(program.models[unit.model.value])]
    measures = any(sensor.channel.value == OXYGEN for sensor in sensors)
    here = unit.area is not None and unit.area.value == area.id and unit.in_use
    return here and measures and not any(_trips(one, alarm) for one in bump_cylinders(program, unit))


def _trips(cylinder: Cylinder, alarm: Figure) -> bool:
    part = cylinder.component(OXYGEN)
    if part is None:
        return False
    error = share(part.uncertainty.value, part.value.value)
    return alarm_trips(part.value.value, quantity(alarm.rounded, alarm.unit), error=error)
