"""Alarms of a unit that came back from repair."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.base.where import Where
from builder.figures.figure import Figure, day_text
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.states import Stay
from builder.figures.settings_read import number_of
from builder.findings.rule import rule
from builder.findings.wording import keys, short_list
from builder.program.inventory import USED_STATES, Unit
from builder.program.keys.families import SETPOINT
from builder.program.program import Program
from builder.program.records import ReadBackSetting, Record
from builder.program.sensors import OXYGEN, Sensor
from builder.program.setpoints import ALARMS

Lower = tuple[Sensor, str, Figure]
"""A sensor, the name of an alarm, and the setpoint of it in the new area."""


@rule(Severity.STOP, Severity.WARN, source="the site's own setpoints; common practice")
def settings_not_reset(program: Program, ledger: Ledger, logbook: Logbook) -> Iterator[Finding]:
    """A unit went to an area with stricter setpoints, and nothing shows that it was set to them.

    It must carry the strictest setpoints of the areas it is used in, or be set anew on record: shown by a read-back
    or a change on record since the move, or by a read-back before it that was as strict. One that goes to several
    areas on one day (``also-in``) is not set anew between them. Source: common practice, no published source; the
    site's own setpoints.
    """
    # A stop while the unit is there, a warn for what is over; one for each move
    asked = bool(program.movements) or any(unit.also_in for unit in program.units.values())
    changed = (record for record in program.records if asked and record.kind.value == "setting-change")
    changes = grouped(changed, lambda record: record.unit.value)
    reads = grouped(program.settings if asked else (), lambda setting: setting.unit.value)
    for unit in program.units.values():
        shown = _Shown(changes.get(unit.id, []), reads.get(unit.id, []))
        yield from _on_one_day(program, ledger, unit, shown)
        before: Stay | None = None
        for stay in logbook.stays[unit.id]:
            if stay.state not in USED_STATES or not stay.area or not isinstance(stay.start, datetime):
                continue
            if before is not None and before.area != stay.area and stay.start.date() <= ledger.today:
                stricter = _stricter(program, ledger, unit, before.area, stay.area)
                open_ones = [lower for lower in stricter if not shown.holds(stay, lower)]
                if open_ones:
                    areas = program.areas
                    start = day_text(stay.start.date())
                    told = f"{unit.id} went from {areas[before.area].name} to {areas[stay.area].name} on {start}"
                    severity = Severity.STOP if stay.end is None else Severity.WARN
                    yield replace(
                        _finding(unit, told, open_ones, stay.where, severity), lines=(before.where, stay.where)
                    )
            before = stay


def _on_one_day(program: Program, ledger: Ledger, unit: Unit, shown: _Shown) -> Iterator[Finding]:
    """A unit that goes to stricter areas than its own on the same day, of which nobody ever read or set that alarm."""
    for also in unit.also_in if unit.in_use else ():
        stricter = _stricter(program, ledger, unit, unit.area.value, also.value) if unit.area else ()
        lower = [one for one in stricter if not shown.ever(one)]
        if lower and unit.area:
            names = program.areas[unit.area.value].name, program.areas[also.value].name
            told = f"{unit.id} is used in {names[0]} and on the same day in {names[1]}"
            yield _finding(unit, told, lower, also.where, Severity.STOP)


def _stricter(program: Program, ledger: Ledger, unit: Unit, old: str, new: str) -> Iterator[Lower]:
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
        sensor, alarm, _ = lower
        start = stay.first_day or date.min
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
        return last is not None and _as_strict(last.value.value, lower)

    def ever(self, lower: Lower) -> bool:
        """Whether the alarm was read at any time, which ``settings-differ`` judges, or set as strict on record."""
        sensor, alarm, _ = lower
        read = any(one.sensor and (one.name.value, one.sensor.value) == (alarm, sensor.id) for one in self.reads)
        return read or any(
            row.setting and row.sensor and row.value and (row.setting.value, row.sensor.value) == (alarm, sensor.id)
            and _as_strict(row.value.value, lower)
            for row in self.changes
        )  # fmt: skip


def _as_strict(text: str, lower: Lower) -> bool:
    """Whether a value as written sounds no later than a setpoint."""
    sensor, alarm, figure = lower
    value = number_of(text, figure.unit)
    return value is not None and not _is_stricter(figure.rounded, value, sensor.channel.value, alarm)


def _finding(unit: Unit, told: str, lower: list[Lower], where: Where, severity: Severity) -> Finding:
    asked = short_list([f"{alarm} of {sensor.name} {figure.printed}" for sensor, alarm, figure in lower])
    return settings_not_reset.found(
        severity=severity,
        message=f"{told}, where it must be set to {asked}. Nothing on record shows that it was.",
        where=where,
        figures=keys(*(figure for _, _, figure in lower)),
        mend="set it, read it back and enter the change; or give it the strictest setpoints of all areas it goes to",
        subject=f"unit:{unit.id}",
    )
