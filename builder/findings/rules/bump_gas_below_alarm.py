"""Check gas that, less its own uncertainty, cannot set off an alarm that the bump test must prove.

Each component is taken by itself. Oxygen gas must lie below the low alarm by its uncertainty; the oxygen high alarm
is left out, since such gas cannot prove it. Source: BG RCI FAQ 2.9 and the definition of a bump test, gas strong
enough for every alarm.
"""

from collections.abc import Iterator
from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True, kw_only=True)
class SilentAlarm:
    """One alarm that a cylinder need not set off."""

    bump: Bump
    shown: Shown
    """What the strongest part of the gas makes the display show."""
    area: Area
    name: str
    alarm: Figure


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each cylinder and sensor, with all the alarms that it need not set off."""
    groups: dict[tuple[str, str], list[SilentAlarm]] = {}
    for silent in _silent_alarms(computed.program, computed.ledger):
        groups.setdefault((silent.bump.cylinder.id, silent.bump.sensor.id), []).append(silent)
    for group in groups.values():
        yield _finding(group)


def _silent_alarms(program: Program, ledger: Ledger) -> Iterator[SilentAlarm]:
    for bump in bumps(program):
        shown = shown_by(ledger, bump)
        for area in areas_of(program, bump) if shown else ():
            for name, alarm in _alarms(program, ledger, bump, area):
                if not any(_trips(bump, part, alarm) for part in shown):
                    yield SilentAlarm(bump=bump, shown=_strongest(bump, shown), area=area, name=name, alarm=alarm)


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


def _finding(group: list[SilentAlarm]) -> Finding:
    bump, shown = group[0].bump, group[0].shown
    severity, caveat = severity_allowed(Severity.STOP, *shown.figures, *(one.alarm for one in group))
    way = "above" if bump.sensor.channel.value == OXYGEN else "below"
    strictly = "; it sounds only beyond its setpoint" if bump.model.alarm_fires.value == "above" else ""
    alarms = list(dict.fromkeys(f"its {one.name} alarm in {one.area.name}, {one.alarm.printed}" for one in group))
    units = list(dict.fromkeys(unit.id for one in group for unit in one.bump.units))
    return Finding(
        rule=ID,
        severity=severity,
        message=f"Cylinder {bump.cylinder.id} makes {bump.sensor.name} show {shown.text} (uncertain by "
        f"{shown.component.uncertainty.text}), which can stay {way} {short_list(alarms)}{strictly}; "
        f"bumped with it: {short_list(units)}.{caveat}",
        where=shown.component.value.where,
        figures=keys(*shown.figures, *(one.alarm for one in group)),
        source="BG RCI FAQ 2.9; a bump test sets off every alarm",
        mend="use gas that sets off every alarm of those units, or state that the check is no bump test",
        subject=f"cylinder:{bump.cylinder.id}",
        touches=tuple(dict.fromkeys(f"area:{one.area.id}" for one in group)) if len(group) > 1 else (),
    )
