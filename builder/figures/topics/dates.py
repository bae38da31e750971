"""What falls due: reviews and the validity of cards; checks of units are in ``intervals``."""

from builder.base.where import Given
from builder.figures.formulas import clock, origin
from builder.figures.logbook.states import end_of, stays_of
from builder.figures.recorder import FigureRecorder
from builder.figures.terms import Term, exactly, written
from builder.program.interval import Interval
from builder.program.inventory import HIRED
from builder.program.keys import families as keyed


def compute(recorder: FigureRecorder) -> None:
    """Enter ``procedure.*.review-due``, ``document.review-due``, ``card.*.valid-until``."""
    for procedure in recorder.program.procedures.values():
        label = f"{procedure.title} reviewed every"
        recorder.interval(keyed.PROCEDURE_REVIEW_EVERY(procedure=procedure.id), label, procedure.review_every)
        label = f"Last review of {procedure.title}"
        last = recorder.day(keyed.PROCEDURE_REVIEWED(procedure=procedure.id), label, procedure.reviewed, "reviewed")
        label = f"Review due of {procedure.title}"
        _due(recorder, keyed.PROCEDURE_REVIEW_DUE(procedure=procedure.id), label, last.key, procedure.review_every)
    document = recorder.program.site.document
    last = recorder.day(keyed.DOCUMENT_REVIEWED(), "Last review of this handbook", document.reviewed, "reviewed")
    recorder.interval(keyed.DOCUMENT_REVIEW_EVERY(), "Handbook reviewed every", document.review_every)
    recorder.interval(keyed.DOCUMENT_CARDS_VALID_FOR(), "Cards valid for", document.cards_valid_for)
    for revision in recorder.program.revisions:
        label = f"Revision {revision.number.value} in force from"
        recorder.day(keyed.REVISION_EFFECTIVE(revision=revision.number.value), label, revision.effective, "effective")
    _due(recorder, keyed.DOCUMENT_REVIEW_DUE(), "Review due of this handbook", last.key, document.review_every)
    _setpoints(recorder)
    _access(recorder)
    _certificates(recorder)
    _cards(recorder)


def _access(recorder: FigureRecorder) -> None:
    """Enter ``settings.code-changed`` and ``.code-due``, where the site says how its access code is kept."""
    access = recorder.program.settings_access
    if access is None:
        return
    last = recorder.day(keyed.SETTINGS_CODE_CHANGED(), "Access code of the settings changed", access.changed, "changed")
    if access.change_every is not None:
        label = "Access code of the settings stays until"
        _due(recorder, keyed.SETTINGS_CODE_DUE(), label, last.key, access.change_every)


def _certificates(recorder: FigureRecorder) -> None:
    """Enter ``unit.<unit>.certificate-until`` of what is hired today."""
    for name, stays in stays_of(recorder.program).items() if recorder.program.movements else ():
        stay = end_of(stays, recorder.as_of)
        if stay is not None and stay.state == HIRED and stay.certificate_until is not None:
            label = f"Certificate of the owner of {name} holds until"
            recorder.day(keyed.UNIT_CERTIFICATE_UNTIL(unit=name), label, stay.certificate_until, "certificate-until")


def _setpoints(recorder: FigureRecorder) -> None:
    """Enter ``setpoints.reviewed``, ``.review-every`` and ``.review-due``, where the site reviews them on their own."""
    review = recorder.program.setpoint_review
    if review is None:
        return
    last = recorder.day(keyed.SETPOINTS_REVIEWED(), "Last review of the setpoints", review.reviewed, "reviewed")
    recorder.interval(keyed.SETPOINTS_REVIEW_EVERY(), "Setpoints reviewed every", review.review_every)
    _due(recorder, keyed.SETPOINTS_REVIEW_DUE(), "Review due of the setpoints", last.key, review.review_every)


def issued_on(recorder: FigureRecorder) -> Term:
    """The day cards are issued: that of the latest revision in force, else the day of the build."""
    revision = recorder.program.in_force(recorder.as_of)
    if revision is not None:
        return written("effective day of the revision", revision.effective)
    return exactly(recorder.ledger[keyed.AS_OF()])


def _cards(recorder: FigureRecorder) -> None:
    day = issued_on(recorder)
    issued = recorder.derived(keyed.CARD_ISSUED(), "Issue day of the cards", "", None, origin.day_stated, day)
    for card in recorder.program.cards.values():
        key, label = keyed.CARD_VALID_UNTIL(card=card.id), f"Card {card.title} valid until"
        _due(recorder, key, label, issued.key, recorder.program.site.document.cards_valid_for)


def _due(recorder: FigureRecorder, key: str, label: str, last: str, interval: Given[Interval]) -> None:
    start, every = exactly(recorder.ledger[last]), written("interval", interval)
    recorder.derived(key, label, "", None, clock.next_due, start, every, note="last day it still holds")
