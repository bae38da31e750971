"""Units that leave and come back, and those that are hired."""

from collections.abc import Iterator
from datetime import date, datetime
from itertools import pairwise

from builder.base.finding import Finding, Severity
from builder.figures.day_margins import near, past
from builder.figures.figure import day_text, moment_text
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.states import AWAY, Stay, breaks, by_unit, end_of
from builder.figures.logbook.units import UnitLog
from builder.findings.rule import rule
from builder.findings.wording import keys
from builder.program.inventory import CHECKED_STATES, HIRED
from builder.program.keys.families import AS_OF, UNIT_CERTIFICATE_UNTIL
from builder.program.movements import Movement
from builder.program.program import Program


@rule(Severity.STOP, Severity.WARN, source="the instrument's manual; ISO 9001:2015, 7.1.5.2")
def back_without_check(ledger: Ledger, logbook: Logbook) -> Iterator[Finding]:
    """A unit that came back from quarantine, repair, loan or retirement, without a good check of every sensor since.

    Looked for from the first moment of that state until the first use after it. Source: the instruments' manuals
    and common practice; ISO 9001:2015, 7.1.5.2.
    """
    # A stop while it may still be used unchecked, a warn where that is over; one for each return
    for unit, stays in logbook.stays.items():
        for before, after in pairwise(stays):
            back, start = before.state in AWAY and after.state in CHECKED_STATES, after.first_day
            if back and start and start <= ledger.today and not _checked(logbook.units.get(unit), before, after):
                returned = f"{unit} came back from {AWAY[before.state]} on {day_text(start)}"
                yield back_without_check.found(
                    severity=Severity.STOP if after.end is None else Severity.WARN,
                    message=f"{returned}, and no good check with gas of every sensor since is on record before "
                    "it was used.",
                    where=after.where,
                    mend="calibrate it, readings as found first, before anybody takes it; or add the record of that "
                    "check",
                    subject=f"unit:{unit}",
                    lines=(before.where, after.where),
                )


def _checked(log: UnitLog | None, before: Stay, after: Stay) -> bool:
    """Whether good checks with gas, since the first of two stays and before a use, show every sensor."""
    if log is None:
        return False
    uses = (record.time.value for record, _ in log.entries if record.kind.value == "use")
    first_use = min((moment for moment in uses if after.holds_at(moment)), default=None)
    since = before.start if isinstance(before.start, datetime) else None
    return log.shows_all(
        since,
        lambda at: (first_use is None or at <= first_use) and (after.end is None or at < after.end),
    )


@rule(Severity.STOP, Severity.WARN, Severity.NOTE)
def certificate_expired(ledger: Ledger, logbook: Logbook) -> Iterator[Finding]:
    """A hired unit, or one that a contractor brought, whose owner's certificate is past its last day, or names none.

    Source: common practice, no published source; ISO 9001:2015, 7.1.5.2 asks for calibration at intervals.
    """
    # A stop while it is here beyond that day, a warn near it and for what is over, a note without one
    for unit, stays in logbook.stays.items():
        current = end_of(stays, ledger.today)
        for stay in stays:
            if stay.state == HIRED and stay.certificate:
                yield from _of_stay(ledger, unit, stay, ledger.today if stay is current else None)


def _of_stay(ledger: Ledger, unit: str, stay: Stay, now: date | None) -> Iterator[Finding]:
    """What is told of one stay.

    :param now: the day everything is judged on, where the unit is here on it.
    """
    if stay.certificate_until is None:
        if now is not None:
            told = f"{unit} is hired, and its certificate ({stay.certificate}) names no last day."
            yield _certificate(ledger, unit, stay, Severity.NOTE, told)
        return
    last = stay.certificate_until.value
    held = f"its owner's certificate ({stay.certificate}) held until {day_text(last)}"
    if now is not None and past(last, now):
        yield _certificate(ledger, unit, stay, Severity.STOP, f"{unit} is in use, but {held}.")
    elif now is not None and near(last, now):
        told = f"{unit} is in use, and its owner's certificate ({stay.certificate}) holds until {day_text(last)} only."
        yield _certificate(ledger, unit, stay, Severity.WARN, told)
    elif now is None and stay.end is not None and past(last, stay.end.date()):
        yield _certificate(
            ledger, unit, stay, Severity.WARN, f"{unit} was in use until {day_text(stay.end.date())}, but {held}."
        )


def _certificate(ledger: Ledger, unit: str, stay: Stay, severity: Severity, told: str) -> Finding:
    return certificate_expired.found(
        severity=severity,
        message=told,
        where=stay.where,
        figures=keys(ledger.get(UNIT_CERTIFICATE_UNTIL(unit=unit)), ledger.get(AS_OF())),
        mend="ask its owner for a new certificate and enter it with its last day; until then borrow another",
        subject=f"unit:{unit}",
    )


@rule(Severity.STOP, Severity.WARN)
def hired_without_certificate(ledger: Ledger, logbook: Logbook) -> Iterator[Finding]:
    """A hired unit without the certificate of its owner: nothing shows that it was calibrated before it came.

    Source: common practice, no published source; ISO 9001:2015, 7.1.5.2 asks for the same of one's own.
    """
    # A stop while it is here, a warn once it is gone
    for unit, stays in logbook.stays.items():
        now = end_of(stays, ledger.today)
        for stay in stays:
            if stay.state == HIRED and not stay.certificate:
                yield hired_without_certificate.found(
                    severity=Severity.STOP if stay is now else Severity.WARN,
                    message=f"{unit} {'is' if stay is now else 'was'} hired and no certificate is named for it. "
                    "That it was calibrated before it came is not known.",
                    where=stay.where,
                    mend="ask its owner for the certificate and enter it under certificate; until then borrow another",
                    subject=f"unit:{unit}",
                )


@rule(Severity.STOP, Severity.WARN, many=True)
def movements_do_not_meet(program: Program) -> Iterator[Finding]:
    """Rows of a unit's movements that overlap, or leave days of which none tells.

    Source: common practice, no published source; one unit is in one place and one state at a time.
    """
    # A stop where only one of two overlapping states allows use, else a warn
    for earlier, later, overlap in (pair for rows in by_unit(program).values() for pair in breaks(rows)):
        allow = {row.state.value in CHECKED_STATES for row in (earlier, later)}
        if overlap:
            told = f"is {_so(earlier)} and {_so(later)} at once: the second row begins before the first has ended"
        else:
            end = moment_text(earlier.end.value if earlier.end else None)
            start = moment_text(later.start.value)
            told = f"was {_so(earlier)} until {end}, then {_so(later)} from {start}; between them nothing is known"
        yield movements_do_not_meet.found(
            severity=Severity.STOP if overlap and len(allow) > 1 else Severity.WARN,
            message=f"{later.unit.value} {told}.",
            where=later.where,
            mend="end the earlier row where the later one begins, or enter the row that is missing",
            subject=f"unit:{later.unit.value}",
            lines=(earlier.where, later.where),
        )


def _so(row: Movement) -> str:
    whose = f" with {row.holder.value}" if row.holder else ""
    where = f" in {row.area.value}" if row.area else ""
    return f"{row.state.value.replace('-', ' ')}{whose}{where}"
