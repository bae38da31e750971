"""An alarm of an 8-hour average above the limit that the site itself lowered for its longer turns of work.

Source: Brief and Scala (1975), where the site chose their rule for long turns; it advises, it is no law.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.findings.alarms import SETPOINTS, PlacedAlarm, area_references, placed_alarms, places
from builder.findings.wording import keys
from builder.program.keys.families import EXPOSURE_LIMIT_LONG_SHIFT

ID = "average-over-long-shift"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such alarm, once for all areas in which it is the same."""
    groups: dict[tuple[Where, str], list[tuple[PlacedAlarm, Figure]]] = {}
    for placed in placed_alarms(computed.program, computed.ledger):
        lowered = _lowered(computed, placed) if placed.alarm.name == "twa" else None
        if lowered is not None and magnitude(placed.figure.printed_amount, "ppm") > magnitude(lowered.amount, "ppm"):
            groups.setdefault((placed.alarm.value.where, lowered.key), []).append((placed, lowered))
    for pairs in groups.values():
        group, lowered = [placed for placed, _ in pairs], pairs[0][1]
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"{places(group)}: the {group[0].called} is set to {group[0].figure.printed}, above "
            f"{lowered.printed}, to which this site lowers the limit for its longer turns of work.",
            where=group[0].alarm.value.where,
            figures=keys(*(placed.figure for placed in group), lowered),
            source=lowered.source,
            mend="set it to the lowered limit or below",
            subject=SETPOINTS,
            touches=area_references(group),
        )


def _lowered(computed: Computed, placed: PlacedAlarm) -> Figure | None:
    """The strictest lowered average of the lists that count in the area, or ``None`` where the site lowers none."""
    lists = computed.program.limit_lists_in(placed.area)
    found = (
        computed.ledger.get(EXPOSURE_LIMIT_LONG_SHIFT(gas=placed.channel, list=name, kind="twa"))
        for name in lists
        if placed.channel in computed.program.gases
    )
    return min((one for one in found if one is not None), key=lambda one: one.number, default=None)
