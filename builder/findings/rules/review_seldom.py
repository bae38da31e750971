"""A review, the life of a printed card, or the reading back of settings that comes less often than once a year.

Source: the program for entry is reviewed within a year after each entry, 29 CFR 1910.146 (d)(14); of the rest common
practice, no published source: settings are read back at least where a unit is calibrated.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from builder.base.finding import Finding, Severity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.interval import Interval
from builder.program.keys.families import (
    DOCUMENT_CARDS_VALID_FOR,
    DOCUMENT_REVIEW_EVERY,
    PROCEDURE_REVIEW_EVERY,
    SETPOINTS_REVIEW_EVERY,
    SITE_SETTINGS_READ_EVERY,
)
from builder.program.program import Program

ID = "review-seldom"
SEVERITIES = (Severity.WARN,)
ACCEPTABLE: Final = True
MOST = Fraction(366)
"""Days."""
PROGRAM_REVIEW = "29 CFR 1910.146 (d)(14), review of the program for entry"


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each."""
    program = computed.program
    review = PROGRAM_REVIEW if any(area.entered for area in program.areas.values()) else COMMON_PRACTICE
    for told, given, key in _rhythms(program):
        if given is None or given.value.nominal_days <= MOST:
            continue
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"{told} {given.text}, longer than a year.",
            where=given.where,
            figures=keys(computed.ledger.get(key)),
            source=review if "review" in key else COMMON_PRACTICE,
            mend="do it at least once a year",
            subject="page:program",
        )


def _rhythms(program: Program) -> Iterator[tuple[str, Given[Interval] | None, str]]:
    site = program.site
    yield "The handbook is reviewed only every", site.document.review_every, DOCUMENT_REVIEW_EVERY()
    yield "A printed card holds for", site.document.cards_valid_for, DOCUMENT_CARDS_VALID_FOR()
    yield "Settings are read back only every", site.settings_read_every, SITE_SETTINGS_READ_EVERY()
    if program.setpoint_review is not None:
        yield "Setpoints are reviewed only every", program.setpoint_review.review_every, SETPOINTS_REVIEW_EVERY()
    for one in program.procedures.values():
        told = f"The procedure {one.title} is reviewed only every"
        yield told, one.review_every, PROCEDURE_REVIEW_EVERY(procedure=one.id)
