"""Turns of work longer than the 8 hours of the averages that are kept, and no word on what then holds.

Source: 29 CFR 1910.1000 (a) and (b), averages over an 8-hour shift of a 40-hour week; a lowering for longer turns is a
site's choice (Brief and Scala, 1975), which the law asks for lead alone.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.figures.topics.shifts import USUAL
from builder.findings.alarms import SETPOINTS, placed_alarms
from builder.findings.wording import keys
from builder.program.keys.families import SITE_SHIFT

ID = "long-shift-undecided"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` where an averaged alarm is set and the site neither lowers limits nor says that it does not."""
    site, shift = computed.program.site, computed.ledger.get(SITE_SHIFT())
    if site.long_shift is not None or site.shift is None or shift is None or magnitude(shift.amount, "h") <= USUAL:
        return
    averaged = [one for one in placed_alarms(computed.program, computed.ledger) if one.alarm.name == "twa"]
    if averaged:
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"A turn of work lasts {shift.printed}, the limits that averaged alarms protect are for {USUAL} h. "
            "Whether they are lowered for it is not said.",
            where=site.shift.where,
            figures=keys(shift, *(one.figure for one in averaged)),
            source="29 CFR 1910.1000 (a): averages over 8 hours; Brief and Scala (1975) for longer turns",
            mend="enter long-shift: brief-scala to print them lowered, or long-shift: none",
            subject=SETPOINTS,
        )
