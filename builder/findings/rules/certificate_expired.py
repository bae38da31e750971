"""A hired unit, or one that a contractor brought, whose owner's certificate is past its last day, or names none.

Source: common practice, no published source; ISO 9001:2015, 7.1.5.2 asks for calibration at intervals.
"""

from collections.abc import Iterator
from datetime import date

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import near, past, today
from builder.figures.figure import day_text
from builder.figures.logbook.states import Stay, end_of
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.inventory import HIRED
from builder.program.keys.families import AS_OF, UNIT_CERTIFICATE_UNTIL

ID = "certificate-expired"
SEVERITIES = (Severity.STOP, Severity.WARN, Severity.NOTE)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` while it is here beyond that day, a ``warn`` near it and for what is over, a ``note`` without one."""
    now = today(computed.ledger)
    for unit, stays in computed.logbook.stays.items():
        current = end_of(stays, now)
        for stay in stays:
            if stay.state == HIRED and stay.certificate:
                yield from _of_stay(computed, unit, stay, now if stay is current else None)


def _of_stay(computed: Computed, unit: str, stay: Stay, now: date | None) -> Iterator[Finding]:
    """What is told of one stay.

    :param now: the day everything is judged on, where the unit is here on it.
    """
    if stay.certificate_until is None:
        if now is not None:
            told = f"{unit} is hired, and its certificate ({stay.certificate}) names no last day."
            yield _finding(computed, unit, stay, Severity.NOTE, told)
        return
    last = stay.certificate_until.value
    held = f"its owner's certificate ({stay.certificate}) held until {day_text(last)}"
    if now is not None and past(last, now):
        yield _finding(computed, unit, stay, Severity.STOP, f"{unit} is in use, but {held}.")
    elif now is not None and near(last, now):
        told = f"{unit} is in use, and its owner's certificate ({stay.certificate}) holds until {day_text(last)} only."
        yield _finding(computed, unit, stay, Severity.WARN, told)
    elif now is None and stay.end is not None and past(last, stay.end.date()):
        yield _finding(
            computed, unit, stay, Severity.WARN, f"{unit} was in use until {day_text(stay.end.date())}, but {held}."
        )


def _finding(computed: Computed, unit: str, stay: Stay, severity: Severity, told: str) -> Finding:
    ledger = computed.ledger
    return Finding(
        rule=ID,
        severity=severity,
        message=told,
        where=stay.where,
        figures=keys(ledger.get(UNIT_CERTIFICATE_UNTIL(unit=unit)), ledger.get(AS_OF())),
        source=COMMON_PRACTICE,
        mend="ask its owner for a new certificate and enter it with its last day; until then borrow another",
        subject=f"unit:{unit}",
    )
