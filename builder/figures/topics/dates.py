"""What falls due: reviews and the validity of cards; checks of units are in ``intervals``."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, cast

from builder.base.where import Given
from builder.figures.formulas import clock, origin
from builder.figures.recorder import FigureRecorder, given, of
from builder.program.interval import Interval

if TYPE_CHECKING:
    from builder.figures.formulas.clock import Interval as IntervalUnit


def compute(recorder: FigureRecorder) -> None:
    """Enter ``procedure.*.review-due``, ``document.review-due``, ``card.*.valid-until``."""
    for procedure in recorder.program.procedures.values():
        recorder.interval(
            f"procedure.{procedure.id}.review-every", f"{procedure.title} reviewed every", procedure.review_every
        )
        last = recorder.day(
            f"procedure.{procedure.id}.reviewed",
            f"Last review of {procedure.title}",
            procedure.reviewed.value,
            origin.day_stated,
            [given("reviewed", procedure.reviewed)],
        )
        _due(
            recorder,
            f"procedure.{procedure.id}.review-due",
            f"Review due of {procedure.title}",
            last.key,
            procedure.review_every,
        )
    document = recorder.program.site.document
    last = recorder.day(
        "document.reviewed",
        "Last review of this handbook",
        document.reviewed.value,
        origin.day_stated,
        [given("reviewed", document.reviewed)],
    )
    recorder.interval("document.review-every", "Handbook reviewed every", document.review_every)
    recorder.interval("document.cards-valid-for", "Cards valid for", document.cards_valid_for)
    for revision in recorder.program.revisions:
        recorder.day(
            f"revision.{revision.number.value}.effective",
            f"Revision {revision.number.value} in force from",
            revision.effective.value,
            origin.day_stated,
            [given("effective", revision.effective)],
        )
    _due(recorder, "document.review-due", "Review due of this handbook", last.key, document.review_every)
    _setpoints(recorder)
    _cards(recorder)


def _setpoints(recorder: FigureRecorder) -> None:
    """Enter ``setpoints.reviewed``, ``.review-every`` and ``.review-due``, where the site reviews them on their own."""
    review = recorder.program.setpoint_review
    if review is None:
        return
    stated = [given("reviewed", review.reviewed)]
    last = recorder.day(
        "setpoints.reviewed", "Last review of the setpoints", review.reviewed.value, origin.day_stated, stated
    )
    recorder.interval("setpoints.review-every", "Setpoints reviewed every", review.review_every)
    _due(recorder, "setpoints.review-due", "Review due of the setpoints", last.key, review.review_every)


def issue_day(recorder: FigureRecorder) -> tuple[date, str]:
    """The day cards are issued: that of the latest revision in force, else the day of the build."""
    revision = recorder.program.revision
    if revision is not None and revision.effective.value <= recorder.as_of:
        return revision.effective.value, "effective day of the revision"
    return recorder.as_of, "day of the build"


def _cards(recorder: FigureRecorder) -> None:
    day, words = issue_day(recorder)
    revision = recorder.program.revision
    inputs = (
        [given(words, revision.effective)]
        if revision is not None and words.startswith("eff")
        else [of(recorder.ledger["handbook.as-of"])]
    )
    issued = recorder.day("card.issued", "Issue day of the cards", day, origin.day_stated, inputs)
    for card in recorder.program.cards.values():
        _due(
            recorder,
            f"card.{card.id}.valid-until",
            f"Card {card.title} valid until",
            issued.key,
            recorder.program.site.document.cards_valid_for,
        )


def _due(recorder: FigureRecorder, key: str, label: str, last: str, interval: Given[Interval]) -> None:
    start = recorder.ledger[last]
    unit = cast("IntervalUnit", f"{interval.value.unit}s")
    due = clock.next_due(cast("date", start.exact), interval.value.count, unit)
    recorder.day(
        key, label, due, clock.next_due, [of(start), given("interval", interval)], note="last day it still holds"
    )
