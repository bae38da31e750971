"""A procedure, or the handbook itself, whose review is overdue; the due day itself is still good.

Source: the review period the site sets; ISO 9001:2015 clause 7.5 asks for documents to be reviewed (not read).
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import past, today
from builder.findings.reviews import reviews
from builder.findings.wording import keys
from builder.program.keys.families import AS_OF

ID = "review-overdue"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each."""
    program, ledger = computed.program, computed.ledger
    for review in reviews(program, ledger):
        if past(review.day, today(ledger)):
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{review.name}: its review was due by {review.due.printed}.",
                where=review.reviewed.where,
                figures=keys(review.due, ledger.get(AS_OF())),
                source="the site's own review period",
                mend="review it and enter the day",
                subject=review.subject,
            )
