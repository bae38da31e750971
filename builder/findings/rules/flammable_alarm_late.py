"""A flammable alarm that sounds above a tenth of the explosive limit where no law of the place says a number.

What is really there is compared, through the largest response factor. Source: 29 CFR 1910.146 (b) calls more than
10 percent of the explosive limit hazardous; that this is kept elsewhere too is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.findings.alarms import PlacedAlarm, comparisons, is_first, placed_alarms
from builder.findings.wording import keys
from builder.program.keys.families import SETPOINT_TRUE
from builder.program.sensors import FLAMMABLE

ID = "flammable-alarm-late"
SEVERITIES = (Severity.STOP, Severity.WARN)
ACCEPTABLE: Final = True
HAZARDOUS = Fraction(10)
"""%LEL that is really there."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for the first alarm of an area, a ``warn`` for a later one."""
    program, ledger = computed.program, computed.ledger
    told = {one.placed.figure.key for one in comparisons(program, ledger) if one.beyond}
    for placed in placed_alarms(program, ledger):
        if placed.channel != FLAMMABLE or placed.figure.key in told:  # told by alarm-above-limit
            continue
        shown = _worst(placed, ledger)
        if shown.rounded > HAZARDOUS:
            yield _finding(placed, shown)


def _worst(placed: PlacedAlarm, ledger: Ledger) -> Figure:
    """The most that is there of any hazard when it sounds; the setpoint itself where no hazard is seen by it."""
    named = (
        ledger.get(SETPOINT_TRUE(area=placed.area.id, gas=hazard.gas.value, alarm=placed.alarm.name))
        for hazard in placed.area.hazards
    )
    return max((figure for figure in named if figure is not None), key=lambda one: one.number, default=placed.figure)


def _finding(placed: PlacedAlarm, shown: Figure) -> Finding:
    hot = any(given.value == "hot-work" for given in placed.area.activities)
    return Finding(
        rule=ID,
        severity=Severity.STOP if is_first(placed) else Severity.WARN,
        message=f"{placed.area.name}: when the {placed.called} sounds, {shown.printed} is there"
        + (", where flames and sparks are used." if hot else ", more than a tenth of the explosive limit."),
        where=placed.alarm.value.where,
        figures=keys(placed.figure, shown),
        source="29 CFR 1910.146 (b): more than 10 percent of the explosive limit is hazardous; elsewhere practice",
        mend="set it so that it sounds at 10 %LEL really there or below",
        subject=f"area:{placed.area.id}",
    )
