"""What falls due: reviews and the validity of cards; checks of units are in ``intervals``."""

from __future__ import annotations

from builder.base.where import Given
from builder.figures.formulas import clock, origin
from builder.figures.recorder import FigureRecorder
from builder.figures.terms import Term, exactly, written
from builder.program.interval import Interval


def compute(recorder: FigureRecorder) -> None:
    """Enter ``procedure.*.review-due``, ``document.review-due``, ``card.*.valid-until``."""
    for procedure in recorder.program.procedures.values():
        recorder.interval(
            f"procedure.{procedure.id}.review-every", f"{procedure.title} reviewed every", procedure.review_every
        )
        last = recorder.day(
            f"procedure.{procedure.id}.reviewed", f"Last review of {procedure.title}", procedure.reviewed, "reviewed"
        )
        _due(
            recorder,
            f"procedure.{procedure.id}.review-due",
            f"Review due of {procedure.title}",
            last.key,
            procedure.review_every,
        )
    document = recorder.program.site.document
    last = recorder.day("document.reviewed", "Last review of this handbook", document.reviewed, "reviewed")
    recorder.interval("document.review-every", "Handbook reviewed every", document.review_every)
    recorder.interval("document.cards-valid-for", "Cards valid for", document.cards_valid_for)
    for revision in recorder.program.revisions:
        recorder.day(
            f"revision.{revision.number.value}.effective",
            f"Revision {revision.number.value} in force from",
            revision.effective,
            "effective",
        )
    _due(recorder, "document.review-due", "Review due of this handbook", last.key, document.review_every)
    _setpoints(recorder)
    _cards(recorder)


def _setpoints(recorder: FigureRecorder) -> None:
    """Enter ``setpoints.reviewed``, ``.review-every`` and ``.review-due``, where the site reviews them on their own."""
    review = recorder.program.setpoint_review
    if review is None:
        return
    last = recorder.day("setpoints.reviewed", "Last review of the setpoints", review.reviewed, "reviewed")
    recorder.interval("setpoints.review-every", "Setpoints reviewed every", review.review_every)
    _due(recorder, "setpoints.review-due", "Review due of the setpoints", last.key, review.review_every)


def issued_on(recorder: FigureRecorder) -> Term:
    """The day cards are issued: that of the latest revision in force, else the day of the build."""
    revision = recorder.program.revision
    if revision is not None and revision.effective.value <= recorder.as_of:
        return written("effective day of the revision", revision.effective)
    return exactly(recorder.ledger["handbook.as-of"])


def _cards(recorder: FigureRecorder) -> None:
    day = issued_on(recorder)
    issued = recorder.derived("card.issued", "Issue day of the cards", "", None, origin.day_stated, day)
    for card in recorder.program.cards.values():
        _due(
            recorder,
            f"card.{card.id}.valid-until",
            f"Card {card.title} valid until",
            issued.key,
            recorder.program.site.document.cards_valid_for,
        )


def _due(recorder: FigureRecorder, key: str, label: str, last: str, interval: Given[Interval]) -> None:
    start, every = exactly(recorder.ledger[last]), written("interval", interval)
    recorder.derived(key, label, "", None, clock.next_due, start, every, note="last day it still holds")
