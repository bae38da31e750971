"""An alarm of an 8-hour average above the limit that the site itself lowered for its longer turns of work.

Source: Brief and Scala (1975), where the site chose their rule for long turns; it advises, it is no law.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.findings.alarms import SETPOINTS, PlacedAlarm, area_references, placed_alarms, places, protected_gas
from builder.findings.wording import keys
from builder.program.keys.families import EXPOSURE_LIMIT_LONG_SHIFT, SETPOINT_VAPOUR
from builder.program.sensors import VAPOUR

ID = "average-over-long-shift"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such alarm, once for all areas in which it is the same; of vapour for the gas it protects."""
    groups: dict[tuple[Where, str], list[tuple[PlacedAlarm, Figure, Figure]]] = {}
    for placed in placed_alarms(computed.program, computed.ledger):
        lowered = _lowered(computed, placed) if placed.alarm.name == "twa" else None
        there = _there(computed, placed)
        if lowered is not None and magnitude(there.printed_amount, "ppm") > magnitude(lowered.amount, "ppm"):
            groups.setdefault((placed.alarm.value.where, lowered.key), []).append((placed, there, lowered))
    for cases in groups.values():
        group, (placed, there, lowered) = [one for one, _, _ in cases], cases[0]
        really = f", which is {there.printed} of what it protects against" if there is not placed.figure else ""
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"{places(group)}: the {placed.called} is set to {placed.figure.printed}{really}, above "
            f"{lowered.printed}, to which this site lowers the limit for its longer turns of work.",
            where=placed.alarm.value.where,
            figures=keys(*(figure for one, shown, _ in cases for figure in (one.figure, shown)), lowered),
            source=lowered.source,
            mend="set it to the lowered limit or below",
            subject=SETPOINTS,
            touches=area_references(group),
        )


def _there(computed: Computed, placed: PlacedAlarm) -> Figure:
    """What is there when the alarm sounds: of vapour the gas that it protects against, else what the display shows."""
    gas = protected_gas(placed)
    key = SETPOINT_VAPOUR(area=placed.area.id, gas=gas, alarm=placed.alarm.name)
    shown = computed.ledger.get(key) if placed.channel == VAPOUR else None
    return shown or placed.figure


def _lowered(computed: Computed, placed: PlacedAlarm) -> Figure | None:
    """The strictest lowered average of the lists that count in the area, or ``None`` where the site lowers none."""
    lists, gas = computed.program.limit_lists_in(placed.area), protected_gas(placed)
    found = (
        computed.ledger.get(EXPOSURE_LIMIT_LONG_SHIFT(gas=gas, list=name, kind="twa"))
        for name in lists
        if gas in computed.program.gases
    )
    return min((one for one in found if one is not None), key=lambda one: one.number, default=None)
