"""Settings read back under names that this handbook does not know: they are kept and shown, and not judged.

Source: common practice, no published source.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, count_in_words
from builder.program.configuration_readback import SETTINGS
from builder.program.records import ReadBackSetting
from builder.program.settings_access import names_code

ID = "setting-not-known"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """One ``note`` for each name."""
    found: dict[str, list[ReadBackSetting]] = {}
    for setting in computed.program.settings:
        if setting.name.value not in SETTINGS and not names_code(setting.name.value):
            found.setdefault(setting.name.value, []).append(setting)
    for name, rows in found.items():
        units = dict.fromkeys(row.unit.value for row in rows)
        yield Finding(
            rule=ID,
            severity=Severity.NOTE,
            message=f"The setting {name!r} was read back from {count_in_words(len(units), 'unit')} and is not judged: "
            "this handbook does not know it.",
            where=rows[0].where,
            source=COMMON_PRACTICE,
            mend="judge it by the instrument's manual; or name in maps.yaml the setting that it is here",
            subject="page:detectors",
            lines=tuple(row.where for row in rows),
        )
