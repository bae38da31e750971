"""A setting read back from an instrument that differs from this handbook.

Source: common practice; only the instrument's own settings prove that card and instrument agree.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.findings.record_findings import by_cause
from builder.findings.settings import SettingDifference, differences
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.program import Program

ID = "settings-differ"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` where the instrument is set less safely than the handbook says, else a ``warn``; one for all alike."""
    program, ledger = computed.program, computed.ledger
    yield from by_cause(((_cause(found), _finding(program, found)) for found in differences(program, ledger)), "unit")


def _cause(found: SettingDifference) -> tuple[str, ...]:
    """What units have in common of which one setting was changed in the handbook, or misread, or never set."""
    setting = found.setting
    sensor = setting.sensor.value if setting.sensor else ""
    return setting.name.value, sensor, setting.value.text, found.expected


def _finding(program: Program, found: SettingDifference) -> Finding:
    setting = found.setting
    sensor = f" of {program.sensors[setting.sensor.value].name}" if setting.sensor else ""
    way = "less safe than" if found.worse else "not what"
    said = "the handbook" if found.worse else "the handbook says"
    return Finding(
        rule=ID,
        severity=Severity.STOP if found.worse else Severity.WARN,
        message=f"Unit {setting.unit.value}: {setting.name.value}{sensor} was read as {setting.value.text} on "
        f"{day_text(setting.read_on.value)}, {way} {said}, {found.expected}.",
        where=setting.where,
        figures=keys(*found.figures),
        source=COMMON_PRACTICE,
        mend="set the instrument as the handbook says and read it back again",
        subject=f"unit:{setting.unit.value}",
    )
