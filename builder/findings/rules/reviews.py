"""What has a period: reviews of the handbook, the setpoints and the procedures, and how long the site keeps what."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.record import dataclass
from builder.base.where import Given
from builder.figures.day_margins import day_of, near, past
from builder.figures.figure import Figure, day_text
from builder.figures.ledger import Ledger
from builder.findings.rule import Rule, rule
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.interval import Interval
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.retention import Retention
from builder.reference.retention import Minimum, minimums


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
    listed = [(keyed.DOCUMENT_REVIEW_DUE(), control.title.value, control.reviewed, "page:home")]
    if program.setpoint_review is not None:
        listed.append(
            (keyed.SETPOINTS_REVIEW_DUE(), "Alarm setpoints", program.setpoint_review.reviewed, "page:setpoints")
        )
    listed += [
        (keyed.PROCEDURE_REVIEW_DUE(procedure=p.id), p.title, p.reviewed, f"procedure:{p.id}")
        for p in program.procedures.values()
    ]
    for key, name, reviewed, subject in listed:
        due = ledger.get(key)
        day = day_of(due)
        if due is not None and day is not None:
            yield Review(name=name, reviewed=reviewed, due=due, day=day, subject=subject)


@rule(Severity.WARN)
def review_overdue(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A procedure, or the handbook itself, whose review is overdue; the due day itself is still good.

    Source: the review period the site sets; ISO 9001:2015 clause 7.5 asks for documents to be reviewed (not read).
    """
    # A warn for each
    for review in reviews(program, ledger):
        if past(review.day, ledger.today):
            yield _falling_due(review_overdue, ledger, review, "was", "review it and enter the day")


@rule(Severity.NOTE)
def review_soon(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A procedure, or the handbook itself, whose review falls due within thirty days.

    Source: the review period the site sets.
    """
    # A note for each
    for review in reviews(program, ledger):
        if near(review.day, ledger.today):
            yield _falling_due(review_soon, ledger, review, "is", "plan the review")


def _falling_due(asked: Rule, ledger: Ledger, review: Review, tense: str, mend: str) -> Finding:
    return asked.found(
        message=f"{review.name}: its review {tense} due by {review.due.printed}.",
        where=review.reviewed.where,
        figures=keys(review.due, ledger.get(keyed.AS_OF())),
        source="the site's own review period",
        mend=mend,
        subject=review.subject,
    )


@rule(Severity.WARN)
def review_in_future(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A review that is dated after the handbook's day, which therefore hides that the next one is due.

    Source: common practice; a slip in the year.
    """
    # A warn for each
    for review in reviews(program, ledger):
        if review.reviewed.value > ledger.today:
            yield review_in_future.found(
                message=f"{review.name}: reviewed on {day_text(review.reviewed.value)}, after the day this handbook is "
                "judged on.",
                where=review.reviewed.where,
                figures=keys(ledger.get(keyed.AS_OF())),
                mend="enter the day on which it really was reviewed",
                subject=review.subject,
            )


@rule(Severity.WARN, Severity.NOTE, about="page:cards")
def cards_outlived(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Cards in force whose printed last day has passed, or does within thirty days.

    Source: common practice; the life that the site gives a printed card.
    """
    # A warn once it has passed, a note before; nothing for a draft, whose cards nobody carries
    now, revision = ledger.today, program.in_force(ledger.today)
    until = next((ledger.get(keyed.CARD_VALID_UNTIL(card=card)) for card in program.cards), None)
    last = day_of(until)
    if revision and until and last and (past(last, now) or near(last, now)):
        yield cards_outlived.found(
            severity=Severity.WARN if past(last, now) else Severity.NOTE,
            message=f"The cards of revision {revision.number.text} {'were' if past(last, now) else 'are'} good until "
            f"{until.printed}.",
            where=program.site.document.cards_valid_for.where,
            figures=keys(until, ledger.get(keyed.AS_OF())),
            mend="release the next revision, hand out its cards and take the old ones back",
        )


MOST = Fraction(366)
"""Days."""
PROGRAM_REVIEW = "29 CFR 1910.146 (d)(14), review of the program for entry"


@rule(Severity.WARN, acceptable=True, about="page:program")
def review_seldom(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A review, the life of a printed card, or the reading back of settings that comes less often than once a year.

    Source: the program for entry is reviewed within a year after each entry, 29 CFR 1910.146 (d)(14); of the rest
    common practice, no published source: settings are read back at least where a unit is calibrated.
    """
    # A warn for each
    review = PROGRAM_REVIEW if any(area.entered for area in program.areas.values()) else COMMON_PRACTICE
    for told, given, key in _rhythms(program):
        if given is None or given.value.nominal_days <= MOST:
            continue
        yield review_seldom.found(
            message=f"{told} {given.text}, longer than a year.",
            where=given.where,
            figures=keys(ledger.get(key)),
            source=review if "review" in key else COMMON_PRACTICE,
            mend="shorten it to a year or less",
        )


def _rhythms(program: Program) -> Iterator[tuple[str, Given[Interval] | None, str]]:
    site = program.site
    yield "The handbook is reviewed only every", site.document.review_every, keyed.DOCUMENT_REVIEW_EVERY()
    yield "A printed card holds for", site.document.cards_valid_for, keyed.DOCUMENT_CARDS_VALID_FOR()
    yield "Settings are read back only every", site.settings_read_every, keyed.SITE_SETTINGS_READ_EVERY()
    if program.setpoint_review is not None:
        yield "Setpoints are reviewed only every", program.setpoint_review.review_every, keyed.SETPOINTS_REVIEW_EVERY()
    for one in program.procedures.values():
        told = f"The procedure {one.title} is reviewed only every"
        yield told, one.review_every, keyed.PROCEDURE_REVIEW_EVERY(procedure=one.id)


DAYS_A_YEAR = 365


@rule(Severity.STOP, Severity.WARN, about="page:retention")
def kept_too_short(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Records that the site keeps for less time than a rule which it names, or whose kind it takes, asks for.

    Source: the table of published minimums.
    """
    # A stop where a law that was read asks for more, else a warn
    for kept in program.retention:
        for minimum in minimums():
            if kept.keep is None or not minimum.years or not _same(kept, minimum):
                continue
            if kept.keep.value.nominal_days < minimum.years * DAYS_A_YEAR:
                yield kept_too_short.found(
                    severity=Severity.STOP if minimum.force == "law" and minimum.read else Severity.WARN,
                    message=f"{kept.what.value} are kept for {kept.keep.text}; {minimum.citation} asks for "
                    f"{minimum.keep.format(f'{minimum.years} years')}.",
                    where=kept.keep.where,
                    figures=keys(
                        ledger.get(keyed.RETENTION_KEEP(entry=kept.id)),
                        ledger.get(keyed.RETENTION_MINIMUM(entry=minimum.id)),
                    ),
                    source=minimum.citation,
                    mend="keep them for as long as the rule asks, or name the rule that holds instead",
                )


def _same(kept: Retention, minimum: Minimum) -> bool:
    """Whether an entry is of the kind of a minimum, by its id or by the rule it names."""
    return kept.id == minimum.id or minimum.citation.partition(",")[0] in kept.rule.value
