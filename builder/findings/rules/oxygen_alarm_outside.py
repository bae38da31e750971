"""An oxygen alarm outside 19.5 to 23.5 %vol where no law of the place says a number.

Source: 29 CFR 1910.146 (b); that both ends are kept elsewhere too is common practice, no source.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.alarms import PlacedAlarm, area_references, comparisons, placed_alarms, places
from builder.findings.wording import keys
from builder.program.sensors import OXYGEN

ID = "oxygen-alarm-outside"
SEVERITIES = (Severity.STOP,)
ACCEPTABLE: Final = True
LOWEST, HIGHEST = Fraction("19.5"), Fraction("23.5")
"""%vol."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each such alarm, once for all areas."""
    program, ledger = computed.program, computed.ledger
    told = {one.placed.figure.key for one in comparisons(program, ledger) if one.beyond}
    groups: dict[Where, list[PlacedAlarm]] = {}
    for placed in placed_alarms(program, ledger):
        value = placed.figure.rounded
        late = value < LOWEST if placed.alarm.name == "low" else value > HIGHEST
        if placed.channel == OXYGEN and late and placed.figure.key not in told:  # told by alarm-above-limit
            groups.setdefault(placed.alarm.value.where, []).append(placed)
    for where, group in groups.items():
        yield Finding(
            rule=ID,
            severity=Severity.STOP,
            message=f"{places(group)}: the {group[0].called} is set to {group[0].figure.printed}, outside 19.5 to "
            "23.5 %vol.",
            where=where,
            figures=keys(*(placed.figure for placed in group)),
            source="29 CFR 1910.146 (b); elsewhere common practice",
            mend="set the alarm for too little to 19.5 %vol or more, that for too much to 23.5 %vol or less",
            subject=f"area:{group[0].area.id}",
            touches=area_references(group),
        )
