"""A bump test that lets an alarm take longer than any sensor should, or does not say how long it may take.

Source: BG RCI FAQ 2.9: flammable gases within 45 s, oxygen and most others within 60 s, toxic gases within 90 s.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.checks import Check
from builder.program.keys.families import CHECK_ALARMS_WITHIN

ID = "alarm-time-too-long"
SEVERITIES = (Severity.STOP, Severity.WARN)
ACCEPTABLE: Final = True
LONGEST, USUAL = Fraction(90), Fraction(60)
"""Seconds."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` above the longest of the three times, a ``warn`` above the middle one and where no time is said."""
    for check in computed.program.checks.values():
        if check.alarms_within is None:
            if check.kind == "bump-test":
                yield _unsaid(check)
            continue
        seconds = magnitude(check.alarms_within.value, "s")
        if seconds > USUAL:
            yield Finding(
                rule=ID,
                severity=Severity.STOP if seconds > LONGEST else Severity.WARN,
                message=f"{check.name} lets the alarms take {check.alarms_within.text}. Flammable gas should bring "
                "them within 45 s, oxygen within 60 s, toxic gas within 90 s.",
                where=check.alarms_within.where,
                figures=keys(computed.ledger.get(CHECK_ALARMS_WITHIN(check=check.id))),
                source="BG RCI FAQ 2.9",
                mend="ask for a shorter time; a sensor that takes longer is worn or its filter is blocked",
                subject="page:checks",
            )


def _unsaid(check: Check) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{check.name} does not say within what time the alarms must sound, so one that takes minutes passes.",
        where=check.where,
        source="BG RCI FAQ 2.9",
        mend="say alarms-within: 45 s, or what the detector's manual asks for",
        subject="page:checks",
    )
