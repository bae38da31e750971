"""Two alarms of one channel that cannot be told apart: no display step between them, or less than the sensor drifts.

The drift taken is what a calibration check of the plan permits. Source: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.alarms import SETPOINTS, PlacedAlarm, area_references, placed_alarms, places
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.sensors import OXYGEN

ID = "alarms-too-close"
SEVERITIES = (Severity.STOP, Severity.WARN)

Pair = tuple[PlacedAlarm, PlacedAlarm]


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for two alarms at one value, a ``warn`` for two a step apart; once for all areas alike."""
    groups: dict[tuple[Where, str, str], list[Pair]] = {}
    by_place: dict[tuple[str, str], dict[str, PlacedAlarm]] = {}
    for placed in placed_alarms(computed.program, computed.ledger):
        by_place.setdefault((placed.area.id, placed.channel), {})[placed.alarm.name] = placed
    for (_, channel), alarms in by_place.items():
        low, high = alarms.get("low"), alarms.get("high")
        if channel != OXYGEN and low is not None and high is not None and _apart(low, high) <= _step(low):
            case = (low.alarm.value.where, low.figure.printed, high.figure.printed)
            groups.setdefault(case, []).append((low, high))
    for group in groups.values():
        yield _finding(group)


def _apart(low: PlacedAlarm, high: PlacedAlarm) -> Fraction:
    return high.figure.rounded - low.figure.rounded


def _step(placed: PlacedAlarm) -> Fraction:
    """The coarsest step of the displays there."""
    return max(magnitude(position.resolution.value, placed.figure.unit) for _, position, _ in placed.fitted)


def _finding(group: list[Pair]) -> Finding:
    low, high = group[0]
    lows = [first for first, _ in group]
    same = _apart(low, high) <= 0
    how = "at the same value" if same else "one step of the display apart"
    return Finding(
        rule=ID,
        severity=Severity.STOP if same else Severity.WARN,
        message=f"{places(lows)}: the two alarms of {low.called.partition(' of ')[2]} stand {how}, at "
        f"{low.figure.printed} and {high.figure.printed}. Nobody can tell one from the other.",
        where=low.alarm.value.where,
        figures=keys(*(figure for one in group for figure in (one[0].figure, one[1].figure))),
        source=COMMON_PRACTICE,
        mend="set the first alarm lower",
        subject=SETPOINTS,
        touches=area_references(lows),
    )
