"""Check gas that, less its own uncertainty, cannot set off an alarm that the bump test must prove.

Each component is taken by itself. Oxygen gas must lie below the low alarm by its uncertainty; the oxygen high alarm
is left out, since such gas cannot prove it. Source: BG RCI FAQ 2.9 and the definition of a bump test, gas strong
enough for every alarm.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import quantity, same_dimension
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.figures.formulas.acceptance import alarm_trips
from builder.figures.ledger import Ledger
from builder.findings.bumps import Bump, Shown, areas_of, bumps, shown_by
from builder.findings.wording import keys, severity_allowed, short_list
from builder.program.areas import Area
from builder.program.keys.families import SETPOINT
from builder.program.program import Program
from builder.program.sensors import OXYGEN

ID = "bump-gas-below-alarm"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each cylinder, sensor, area and alarm."""
    program, ledger = computed.program, computed.ledger
    for bump in bumps(program):
        shown = shown_by(ledger, bump)
        for area in areas_of(program, bump) if shown else ():
            for name, alarm in _alarms(program, ledger, bump, area):
                if not any(_trips(bump, part, alarm) for part in shown):
                    yield _finding(bump, _strongest(bump, shown), area, name, alarm)


def _alarms(program: Program, ledger: Ledger, bump: Bump, area: Area) -> Iterator[tuple[str, Figure]]:
    """Alarms of the sensor's own channel; a key of another channel's alarm must not pass for one."""
    channel = bump.sensor.channel.value
    entry = program.setpoint(area.id, channel)
    for name in ("low",) if channel == OXYGEN else ("low", "high"):
        alarm = ledger.get(SETPOINT(area=area.id, channel=channel, alarm=name)) if entry and entry.alarm(name) else None
        if alarm is not None:
            yield name, alarm


def _trips(bump: Bump, shown: Shown, alarm: Figure) -> bool:
    return same_dimension(shown.display, alarm.unit) and alarm_trips(
        shown.display,
        quantity(alarm.rounded, alarm.unit),
        fires_at_setpoint=bump.model.alarm_fires.value == "at-or-above",
        falling=bump.sensor.channel.value == OXYGEN,
        error=shown.error,
    )


def _strongest(bump: Bump, shown: tuple[Shown, ...]) -> Shown:
    if bump.sensor.channel.value == OXYGEN:
        return min(shown, key=lambda part: part.display + part.error)
    return max(shown, key=lambda part: part.display - part.error)


def _finding(bump: Bump, shown: Shown, area: Area, name: str, alarm: Figure) -> Finding:
    severity, caveat = severity_allowed(Severity.STOP, *shown.figures, alarm)
    way = "above" if bump.sensor.channel.value == OXYGEN else "below"
    strictly = "; it sounds only beyond its setpoint" if bump.model.alarm_fires.value == "above" else ""
    units = [unit.id for unit in bump.units]
    return Finding(
        rule=ID,
        severity=severity,
        message=f"Cylinder {bump.cylinder.id} makes {bump.sensor.name} show {shown.text} (uncertain by "
        f"{shown.component.uncertainty.text}), which can stay {way} its {name} alarm in {area.name}, "
        f"{alarm.printed}{strictly}; bumped with it: {short_list(units)}.{caveat}",
        where=shown.component.value.where,
        figures=keys(*shown.figures, alarm),
        source="BG RCI FAQ 2.9; a bump test sets off every alarm",
        mend="use gas that sets off every alarm of those units, or state that the check is no bump test",
        subject=f"cylinder:{bump.cylinder.id}",
    )
