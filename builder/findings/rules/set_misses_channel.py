"""A set that is carried into a confined space without an oxygen sensor, or without one for flammable gas.

One sensor for one hazard is not enough there: air that a survey did not expect is why it is tested before and during
the work. Source: 29 CFR 1910.146 (c)(5)(ii)(C) and (d)(5)(iii), which name oxygen, flammable gases and toxic gases in
this order; common practice elsewhere.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.carried_coverage import ENTRY_SOURCE, carried_words, channels_of
from builder.program.areas import ENTERED
from builder.program.sensors import FLAMMABLE, OXYGEN

ID = "set-misses-channel"
SEVERITIES = (Severity.STOP,)
NEEDED = {OXYGEN: "oxygen", FLAMMABLE: "flammable gas"}


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each such set."""
    program = computed.program
    for area in program.areas.values():
        entered = [given.value for given in area.activities if given.value in ENTERED]
        for carried in area.carry:
            measured = channels_of(program, carried)
            lacking = [words for channel, words in NEEDED.items() if channel not in measured]
            if lacking and any(carried.serves(activity) for activity in entered):
                yield Finding(
                    rule=ID,
                    severity=Severity.STOP,
                    message=f"{area.name}: whoever carries only {carried_words(program, carried)} into this confined "
                    f"space has no measurement of {' and of '.join(lacking)}.",
                    where=carried.where,
                    source=ENTRY_SOURCE,
                    mend="carry a detector for it as well: write both in one list under carry",
                    subject=f"area:{area.id}",
                )
