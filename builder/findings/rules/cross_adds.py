"""A gas that by itself brings a sensor it is not meant for to its first alarm.

People must leave all the same, but whoever looks for the cause looks for the wrong gas. Source: the cross-sensitivity
the site states for the sensor.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.cross_sensitivity import crossings
from builder.findings.wording import keys
from builder.program.keys.families import SETPOINT
from builder.program.sensors import OXYGEN

ID = "cross-adds"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each area, sensor and gas."""
    program, ledger = computed.program, computed.ledger
    for found in crossings(program, ledger):
        channel = found.sensor.channel.value
        low = ledger.get(SETPOINT(area=found.area.id, channel=channel, alarm="low"))
        if channel == OXYGEN or low is None or found.apparent is None or found.sensor.cross is None:
            continue
        if found.apparent.number <= 0 or found.apparent.amount < low.printed_amount:
            continue
        gas = program.gases[found.hazard.gas.value].name
        yield Finding(
            rule=ID,
            severity=Severity.NOTE,
            message=f"{found.area.name}: {gas} alone can make {found.sensor.name} show {found.apparent.printed}, so "
            f"its first alarm at {low.printed} may sound for it.",
            where=found.hazard.gas.where,
            figures=keys(*found.figures(), low),
            source=found.sensor.cross.source.value,
            mend="say on the area's card that this alarm may mean the other gas, and leave on it all the same",
            subject=f"area:{found.area.id}",
        )
