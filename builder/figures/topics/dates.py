"""What falls due: reviews and the validity of cards; checks of units are in ``intervals``."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, cast

from builder.base.where import Given
from builder.figures.bench import Bench, given, of
from builder.figures.formulas import clock, origin
from builder.program.interval import Interval

if TYPE_CHECKING:
    from builder.figures.formulas.clock import Interval as IntervalUnit


def compute(bench: Bench) -> None:
    """Enter ``procedure.*.review-due``, ``document.review-due``, ``card.*.valid-until``."""
    for procedure in bench.program.procedures.values():
        bench.interval(
            f"procedure.{procedure.id}.review-every", f"{procedure.title} reviewed every", procedure.review_every
        )
        last = bench.day(
            f"procedure.{procedure.id}.reviewed",
            f"Last review of {procedure.title}",
            procedure.reviewed.value,
            origin.day_stated,
            [given("reviewed", procedure.reviewed)],
        )
        _due(
            bench,
            f"procedure.{procedure.id}.review-due",
            f"Review due of {procedure.title}",
            last.key,
            procedure.review_every,
        )
    document = bench.program.site.document
    last = bench.day(
        "document.reviewed",
        "Last review of this handbook",
        document.reviewed.value,
        origin.day_stated,
        [given("reviewed", document.reviewed)],
    )
    bench.interval("document.review-every", "Handbook reviewed every", document.review_every)
    bench.interval("document.cards-valid-for", "Cards valid for", document.cards_valid_for)
    for revision in bench.program.revisions:
        bench.day(
            f"revision.{revision.number.value}.effective",
            f"Revision {revision.number.value} in force from",
            revision.effective.value,
            origin.day_stated,
            [given("effective", revision.effective)],
        )
    _due(bench, "document.review-due", "Review due of this handbook", last.key, document.review_every)
    _setpoints(bench)
    _cards(bench)


def _setpoints(bench: Bench) -> None:
    """Enter ``setpoints.reviewed``, ``.review-every`` and ``.review-due``, where the site reviews them on their own."""
    review = bench.program.setpoint_review
    if review is None:
        return
    stated = [given("reviewed", review.reviewed)]
    last = bench.day(
        "setpoints.reviewed", "Last review of the setpoints", review.reviewed.value, origin.day_stated, stated
    )
    bench.interval("setpoints.review-every", "Setpoints reviewed every", review.review_every)
    _due(bench, "setpoints.review-due", "Review due of the setpoints", last.key, review.review_every)


def issue_day(bench: Bench) -> tuple[date, str]:
    """The day cards are issued: that of the latest revision in force, else the day of the build."""
    revision = bench.program.revision
    if revision is not None and revision.effective.value <= bench.as_of:
        return revision.effective.value, "effective day of the revision"
    return bench.as_of, "day of the build"


def _cards(bench: Bench) -> None:
    day, words = issue_day(bench)
    revision = bench.program.revision
    inputs = (
        [given(words, revision.effective)]
        if revision is not None and words.startswith("eff")
        else [of(bench.ledger["handbook.as-of"])]
    )
    issued = bench.day("card.issued", "Issue day of the cards", day, origin.day_stated, inputs)
    for card in bench.program.cards.values():
        _due(
            bench,
            f"card.{card.id}.valid-until",
            f"Card {card.title} valid until",
            issued.key,
            bench.program.site.document.cards_valid_for,
        )


def _due(bench: Bench, key: str, label: str, last: str, interval: Given[Interval]) -> None:
    start = bench.ledger[last]
    unit = cast("IntervalUnit", f"{interval.value.unit}s")
    due = clock.next_due(cast("date", start.exact), interval.value.count, unit)
    bench.day(key, label, due, clock.next_due, [of(start), given("interval", interval)], note="last day it still holds")
