"""A unit went to an area with stricter setpoints, and nothing shows that it was set to them.

It must carry the strictest setpoints of the areas it is used in, or be set anew on record. Shown by a read-back or a
change on record since the move, or by a read-back before it that was as strict. Source: common practice, no published
source; the site's own setpoints.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import Figure, day_text
from builder.figures.logbook.states import Stay
from builder.findings.settings import ALARMS, number_of
from builder.findings.wording import keys, short_list
from builder.program.inventory import USED_STATES, Unit
from builder.program.keys.families import AS_OF, SETPOINT
from builder.program.records import ReadBackSetting, Record
from builder.program.sensors import OXYGEN, Sensor

ID = "settings-not-reset"
SEVERITIES = (Severity.STOP, Severity.WARN)
Lower = tuple[Sensor, str, Figure]
"""A sensor, the name of an alarm, and the setpoint of it in the new area."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` while the unit is there, a ``warn`` for what is over; one for each move."""
    program, day = computed.program, computed.ledger.day(AS_OF())
    changes: dict[str, list[Record]] = {}
    for record in program.records if program.movements else ():
        if record.kind.value == "setting-change":
            changes.setdefault(record.unit.value, []).append(record)
    reads: dict[str, list[ReadBackSetting]] = {}
    for setting in program.settings if program.movements else ():
        reads.setdefault(setting.unit.value, []).append(setting)
    for unit in program.units.values():
        shown = _Shown(changes.get(unit.id, []), reads.get(unit.id, []))
        before: Stay | None = None
        for stay in computed.logbook.stays[unit.id]:
            if stay.state not in USED_STATES or not stay.area or not isinstance(stay.start, datetime):
                continue
            if before is not None and before.area != stay.area and stay.start.date() <= day:
                stricter = _stricter(computed, unit, before.area, stay.area)
                open_ones = [lower for lower in stricter if not shown.holds(stay, lower)]
                if open_ones:
                    yield _finding(computed, unit, before, stay, open_ones)
            before = stay


def _stricter(computed: Computed, unit: Unit, old: str, new: str) -> Iterator[Lower]:
    program, ledger = computed.program, computed.ledger
    for _, sensor in program.fitted(program.models[unit.model.value]):
        channel = sensor.channel.value
        for alarm in ALARMS:
            was = ledger.get(SETPOINT(area=old, channel=channel, alarm=alarm))
            now = ledger.get(SETPOINT(area=new, channel=channel, alarm=alarm))
            if now is not None and was is not None and _is_stricter(now.rounded, was.rounded, channel, alarm):
                yield sensor, alarm, now


def _is_stricter(value: Fraction, other: Fraction, channel: str, alarm: str) -> bool:
    return value > other if channel == OXYGEN and alarm == "low" else value < other


@dataclass(frozen=True, slots=True)
class _Shown:
    """What shows the settings of one unit."""

    changes: list[Record]
    reads: list[ReadBackSetting]

    def holds(self, stay: Stay, lower: Lower) -> bool:
        """Whether a read-back or a change on record shows the new setpoint, or one as strict from before."""
        sensor, alarm, figure = lower
        start = stay.start.date() if isinstance(stay.start, datetime) else date.min
        end = stay.end.date() if stay.end else date.max
        changed = any(
            row.setting is not None
            and row.sensor is not None
            and (row.setting.value, row.sensor.value) == (alarm, sensor.id)
            and start <= row.day <= end
            for row in self.changes
        )
        read = [
            one
            for one in self.reads
            if one.sensor is not None
            and (one.name.value, one.sensor.value) == (alarm, sensor.id)
            and one.read_on.value <= end
        ]
        if changed or any(one.read_on.value >= start for one in read):
            return True  # what was read then is held against the setpoint by settings-differ
        last = max(read, key=lambda one: one.read_on.value, default=None)
        value = number_of(last.value.value, figure.unit) if last else None
        return value is not None and not _is_stricter(figure.rounded, value, sensor.channel.value, alarm)


def _finding(computed: Computed, unit: Unit, before: Stay, stay: Stay, lower: list[Lower]) -> Finding:
    areas = computed.program.areas
    told = [f"{alarm} of {sensor.name} {figure.printed}" for sensor, alarm, figure in lower]
    start = day_text(stay.start.date()) if isinstance(stay.start, datetime) else ""
    return Finding(
        rule=ID,
        severity=Severity.STOP if stay.end is None else Severity.WARN,
        message=f"{unit.id} went from {areas[before.area].name} to {areas[stay.area].name} on {start}, where it must "
        f"be set to {short_list(told)}. Nothing on record shows that it was.",
        where=stay.where,
        figures=keys(*(figure for _, _, figure in lower)),
        source="the site's own setpoints; common practice",
        mend="set it, read it back and enter the change; or give it the strictest setpoints of all areas it goes to",
        subject=f"unit:{unit.id}",
        lines=(before.where, stay.where),
    )
