"""A review that is dated after the handbook's day, which therefore hides that the next one is due.

Source: common practice; a slip in the year.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import today
from builder.figures.figure import day_text
from builder.findings.reviews import reviews
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.keys.families import AS_OF

ID = "review-in-future"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each."""
    program, ledger = computed.program, computed.ledger
    for review in reviews(program, ledger):
        if review.reviewed.value > today(ledger):
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{review.name}: reviewed on {day_text(review.reviewed.value)}, after the day this handbook is "
                "judged on.",
                where=review.reviewed.where,
                figures=keys(ledger.get(AS_OF())),
                source=COMMON_PRACTICE,
                mend="enter the day on which it really was reviewed",
                subject=review.subject,
            )
