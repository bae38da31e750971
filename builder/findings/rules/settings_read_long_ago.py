"""Units in use whose settings were last read back longer ago than the site allows: what they are set to is not known.

The age is ``settings-read-every`` of site.yaml, twelve months where it says none. Source: common practice, no published
source.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.figures.formulas import clock
from builder.figures.topics.readback import age_of, last_read
from builder.findings.wording import COMMON_PRACTICE, count_in_words, keys, short_list
from builder.program.keys.families import AS_OF, SITE_SETTINGS_READ, SITE_SETTINGS_READ_EVERY

ID = "settings-read-long-ago"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """One ``warn`` for all of them."""
    program, ledger = computed.program, computed.ledger
    day, oldest = ledger.day(AS_OF()), age_of(program)
    last = last_read(program, day)
    old = [
        unit
        for unit in program.units.values()
        if unit.in_use and unit.id in last and clock.next_due(last[unit.id], oldest) < day
    ]
    if old:
        first = min(last[unit.id] for unit in old)
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"Settings of {count_in_words(len(old), 'unit')} in use were last read more than {oldest.text} "
            f"ago, the oldest on {day_text(first)}: {short_list([unit.id for unit in old])}. "
            "What they are set to today is not known.",
            where=old[0].where,
            figures=keys(ledger.get(SITE_SETTINGS_READ_EVERY()), ledger.get(SITE_SETTINGS_READ())),
            source=COMMON_PRACTICE,
            mend="read their settings anew and add the export to readback/",
            subject="page:detectors",
            touches=tuple(f"unit:{unit.id}" for unit in old),
        )
