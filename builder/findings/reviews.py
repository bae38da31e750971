"""Everything that has a review period: the handbook, the setpoints and the procedures."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from builder.base.where import Given
from builder.figures.day_margins import day_of
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.program.keys.families import DOCUMENT_REVIEW_DUE, PROCEDURE_REVIEW_DUE, SETPOINTS_REVIEW_DUE
from builder.program.program import Program


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """One document and its next review."""

    name: str
    reviewed: Given[date]
    due: Figure
    day: date
    """The last day before the review is overdue."""
    subject: str


def reviews(program: Program, ledger: Ledger) -> Iterator[Review]:
    """The handbook, the setpoints, then each procedure, where the ledger knows when the review is due."""
    control = program.site.document
    listed = [(DOCUMENT_REVIEW_DUE(), control.title.value, control.reviewed, "page:home")]
    if program.setpoint_review is not None:
        listed.append((SETPOINTS_REVIEW_DUE(), "Alarm setpoints", program.setpoint_review.reviewed, "page:setpoints"))
    listed += [
        (PROCEDURE_REVIEW_DUE(procedure=p.id), p.title, p.reviewed, f"procedure:{p.id}")
        for p in program.procedures.values()
    ]
    for key, name, reviewed, subject in listed:
        due = ledger.get(key)
        day = day_of(due)
        if due is not None and day is not None:
            yield Review(name=name, reviewed=reviewed, due=due, day=day, subject=subject)
