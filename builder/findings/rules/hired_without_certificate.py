"""A hired unit without the certificate of its owner: nothing shows that it was calibrated before it came.

Source: common practice, no published source; ISO 9001:2015, 7.1.5.2 asks for the same of one's own.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.logbook.states import end_of
from builder.findings.wording import COMMON_PRACTICE
from builder.program.inventory import HIRED
from builder.program.keys.families import AS_OF

ID = "hired-without-certificate"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` while it is here, a ``warn`` once it is gone."""
    day = computed.ledger.day(AS_OF())
    for unit, stays in computed.logbook.stays.items():
        now = end_of(stays, day)
        for stay in stays:
            if stay.state == HIRED and not stay.certificate:
                yield Finding(
                    rule=ID,
                    severity=Severity.STOP if stay is now else Severity.WARN,
                    message=f"{unit} {'is' if stay is now else 'was'} hired and no certificate is named for it. "
                    "That it was calibrated before it came is not known.",
                    where=stay.where,
                    source=COMMON_PRACTICE,
                    mend="ask its owner for the certificate and enter it under certificate; until then borrow another",
                    subject=f"unit:{unit}",
                )
