"""An export of settings holds the access code of the instruments: whoever has the file can change their alarms.

The builder drops its value and prints it nowhere. Source: common practice, no published source.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, count_in_words
from builder.program.records import ReadBackSetting
from builder.program.settings_access import names_code

ID = "access-code-written"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each file."""
    found: dict[str, list[ReadBackSetting]] = {}
    for setting in computed.program.settings:
        if names_code(setting.name.value):
            found.setdefault(setting.where.file, []).append(setting)
    for name, rows in found.items():
        units = dict.fromkeys(row.unit.value for row in rows)
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"{name} holds {rows[0].name.value!r} of {count_in_words(len(units), 'unit')}. Its value is not "
            "shown here, but the file itself goes into every frozen copy.",
            where=rows[0].where,
            source=COMMON_PRACTICE,
            mend="take the code out of the export, and change it on the units",
            subject="page:setpoints",
            touches=tuple(f"unit:{unit}" for unit in units if unit in computed.program.units),
            lines=tuple(row.where for row in rows),
        )
