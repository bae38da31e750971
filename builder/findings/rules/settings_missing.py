"""Units in use of which no settings were read back, where the site does read settings back.

Source: common practice; only the instrument's own settings prove that card and instrument agree.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, count_in_words, keys, short_list
from builder.program.keys.families import SITE_SETTINGS_READ

ID = "settings-missing"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """One ``note`` for all of them."""
    program = computed.program
    read = {setting.unit.value for setting in program.settings}
    used = [unit for unit in program.units.values() if unit.in_use]
    share = computed.ledger.get(SITE_SETTINGS_READ())
    missing = [unit for unit in used if unit.id not in read]
    if read and missing:
        yield Finding(
            rule=ID,
            severity=Severity.NOTE,
            message=f"Of {count_in_words(len(used), 'unit')} in use, "
            f"{count_in_words(len(missing), 'unit')} had no settings read "
            f"back: {short_list([unit.id for unit in missing])}. What they are set to is not known."
            + (f" Read back in time: {share.printed} ({share.note})." if share else ""),
            where=missing[0].where,
            figures=keys(share),
            source=COMMON_PRACTICE,
            mend="read their settings and add the export to readback/",
            subject="page:detectors",
            touches=tuple(f"unit:{unit.id}" for unit in missing),
        )
