"""Records that end more than thirty days before the handbook's day, so that checks look overdue which may be done.

Data for demonstration are dated; judged on a later day they grow old. Source: common practice; a handbook judges what
it was told.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import SOON, today
from builder.figures.figure import day_text
from builder.findings.wording import COMMON_PRACTICE

ID = "records-end-early"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """One ``warn``, at the newest record."""
    program, ledger = computed.program, computed.ledger
    now = today(ledger)
    newest = max((record for record in program.records if record.day <= now), key=lambda one: one.day, default=None)
    if newest is None or (now - newest.day).days <= SOON:
        return
    day = newest.day.isoformat()
    mend = "add the records of the days since then"
    dated = ""
    if program.site.invented and not program.confirmations:  # a starter gets records of its own
        dated = f" The site is invented and its data are those of {day_text(newest.day)}: nobody adds to them."
        mend += f"; to see the demonstration as it is meant, build it with --as-of {day}"
    yield Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"The newest record is of {day_text(newest.day)}, {(now - newest.day).days} days before the day this "
        f"handbook is judged on. What was done since then is not known here, so checks may look overdue that were "
        f"done.{dated}",
        where=newest.where,
        source=COMMON_PRACTICE,
        mend=mend,
        subject="page:checks",
    )
