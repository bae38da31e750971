"""A procedure, or the handbook itself, whose review falls due within thirty days.

Source: the review period the site sets.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import near, today
from builder.findings.reviews import reviews
from builder.findings.wording import keys
from builder.program.keys.families import AS_OF

ID = "review-soon"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each."""
    program, ledger = computed.program, computed.ledger
    for review in reviews(program, ledger):
        if near(review.day, today(ledger)):
            yield Finding(
                rule=ID,
                severity=Severity.NOTE,
                message=f"{review.name}: its review is due by {review.due.printed}.",
                where=review.reviewed.where,
                figures=keys(review.due, ledger.get(AS_OF())),
                source="the site's own review period",
                mend="plan the review",
                subject=review.subject,
            )
