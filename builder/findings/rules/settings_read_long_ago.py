"""Units in use whose settings were last read back more than a year ago: what they are set to today is not known.

Source: common practice, no published source; a site with another age for it reads more often.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.findings.wording import COMMON_PRACTICE, count_in_words, short_list
from builder.program.keys.families import AS_OF

ID = "settings-read-long-ago"
SEVERITIES = (Severity.WARN,)
OLDEST = timedelta(days=366)


def rule(computed: Computed) -> Iterator[Finding]:
    """One ``warn`` for all of them."""
    program, day = computed.program, computed.ledger.day(AS_OF())
    last: dict[str, date] = {}
    for setting in program.settings:
        read = setting.read_on.value
        last[setting.unit.value] = max(read, last.get(setting.unit.value, read))
    old = [unit for unit in program.units.values() if unit.in_use and unit.id in last and day - last[unit.id] > OLDEST]
    if old:
        first = min(last[unit.id] for unit in old)
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"Settings of {count_in_words(len(old), 'unit')} in use were last read more than a year ago, the "
            f"oldest on {day_text(first)}: {short_list([unit.id for unit in old])}. "
            "What they are set to today is not known.",
            where=old[0].where,
            source=COMMON_PRACTICE,
            mend="read their settings anew and add the export to readback/",
            subject="page:detectors",
            touches=tuple(f"unit:{unit.id}" for unit in old),
        )
