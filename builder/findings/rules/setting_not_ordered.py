"""A setting was changed and nobody knows by whose order, or was found changed and no change is on record.

Source: common practice, no published source; ISO 9001:2015, 7.1.5.2 asks that adjustments which would void a
measurement are guarded.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.findings.record_findings import first_and_count, row_text, subject
from builder.findings.wording import COMMON_PRACTICE
from builder.program.program import Program
from builder.program.records import ReadBackSetting, Record

ID = "setting-not-ordered"
SEVERITIES = (Severity.WARN,)
Key = tuple[str, str, str]
MEASURED = ("clock",)
"""Differs at each reading without anybody's doing."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such change."""
    program = computed.program
    changes = [record for record in program.records if record.kind.value == "setting-change"]
    yield from (_without_order(program, record) for record in changes if record.order is None)
    yield from first_and_count(_unrecorded(program, changes))


def _without_order(program: Program, record: Record) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{row_text(program, record)}: no order is named for it.",
        where=record.where,
        source=COMMON_PRACTICE,
        mend="enter who or what asked for the change under order, or set it back",
        subject=subject(program, record),
    )


def _unrecorded(program: Program, changes: list[Record]) -> Iterator[Finding]:
    known: dict[Key, list[Record]] = {}
    for record in changes:
        if record.setting:
            sensor = record.sensor.value if record.sensor else ""
            known.setdefault((record.unit.value, sensor, record.setting.value), []).append(record)
    before: dict[Key, ReadBackSetting] = {}
    for setting in sorted(program.settings, key=lambda one: one.read_on.value):
        key = (setting.unit.value, setting.sensor.value if setting.sensor else "", setting.name.value)
        earlier = before.get(key)
        before[key] = setting
        if earlier is None or setting.name.value in MEASURED or earlier.value.value == setting.value.value:
            continue
        if not any(earlier.read_on.value <= row.day <= setting.read_on.value for row in known.get(key, ())):
            yield _finding(earlier, setting)


def _finding(earlier: ReadBackSetting, setting: ReadBackSetting) -> Finding:
    of = f" of {setting.sensor.value}" if setting.sensor else ""
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{setting.unit.value}: {setting.name.value}{of} was {earlier.value.text} on "
        f"{day_text(earlier.read_on.value)} and {setting.value.text} on {day_text(setting.read_on.value)}, and no "
        "change of it is on record.",
        where=setting.where,
        source=COMMON_PRACTICE,
        mend="find out who changed it and why; enter the change with its order, or set it back",
        subject=f"unit:{setting.unit.value}",
        lines=(earlier.where, setting.where),
    )
