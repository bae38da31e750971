"""Gas without oxygen for a catalytic sensor, which cannot burn it: it reads low, or is adjusted far too high.

Source: common practice; balance air for catalytic sensors.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.sensor_coverage import sees
from builder.findings.wording import COMMON_PRACTICE, short_list
from builder.program.cylinders import Cylinder
from builder.program.program import Program
from builder.program.sensors import Sensor

ID = "catalytic-without-oxygen"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each such cylinder and kind of sensor."""
    program = computed.program
    for cylinder in program.bottles:
        serves = any(program.checks[check.value].uses_gas for check in cylinder.checks)
        if cylinder.balance.value == "air" or cylinder.component("oxygen") or not serves:
            continue
        for sensor in program.sensors.values():
            users = _users(program, cylinder, sensor)
            if sensor.principle == "catalytic" and users:
                yield Finding(
                    rule=ID,
                    severity=Severity.STOP,
                    message=f"Cylinder {cylinder.id} is balanced with nitrogen and holds no oxygen, but units with "
                    f"{sensor.name} are checked with it: {short_list(users)}.",
                    where=cylinder.balance.where,
                    source=COMMON_PRACTICE,
                    mend="get the gas in air, or with enough oxygen, for those units",
                    subject=f"cylinder:{cylinder.id}",
                )


def _users(program: Program, cylinder: Cylinder, sensor: Sensor) -> list[str]:
    """Units that are checked with a cylinder on a sensor that sees some of what it holds."""
    if not any(sees(sensor, part.gas.value) for part in cylinder.components):
        return []
    return [
        unit.id
        for unit in program.units.values()
        if unit.state.value != "retired"
        and unit.checked_with(cylinder.id)
        and any(position.sensor.value == sensor.id for position in program.models[unit.model.value].positions)
    ]
