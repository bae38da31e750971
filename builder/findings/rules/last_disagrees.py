"""The day of the last good check in the inventory is another than the one the records show.

Judged where records of that kind of check exist for the unit. Source: common practice; two lists of one
thing drift apart.
"""

from collections.abc import Iterator
from datetime import date

from builder.base.finding import Finding, Severity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.figures.ledger import Ledger
from builder.findings.record_findings import by_cause
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.checks import Check
from builder.program.inventory import Unit
from builder.program.keys.families import UNIT_LAST

ID = "last-disagrees"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each check, with the units of which it is so: a list that was not kept is one cause."""
    yield from by_cause(_judged(computed), "unit")


def _judged(computed: Computed) -> Iterator[tuple[str, Finding]]:
    program, ledger, book = computed.program, computed.ledger, computed.logbook
    for unit in program.units.values():
        log = book.units.get(unit.id)
        for check, stated in unit.last.items():
            planned = program.checks[check]
            if log is not None and (planned.what in log.good_days or planned.what in log.failed):
                shown = log.last.get(planned.what)
                if shown != stated.value:
                    yield check, _finding(ledger, unit, planned, stated, shown)


def _finding(ledger: Ledger, unit: Unit, check: Check, stated: Given[date], shown: date | None) -> Finding:
    words = f"the records show {day_text(shown)}" if shown else "the records show none for all its sensors"
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"Unit {unit.id}, {check.name}: the inventory says it was last good on {day_text(stated.value)}, "
        f"{words}.",
        where=stated.where,
        figures=keys(ledger.get(UNIT_LAST(unit=unit.id, check=check.id))),
        source=COMMON_PRACTICE,
        mend="take the day out of the inventory where records tell it, or add the missing record",
        subject=f"unit:{unit.id}",
    )
