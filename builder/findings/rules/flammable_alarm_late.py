"""A flammable alarm that sounds above a tenth of the explosive limit where no law of the place says a number.

What is really there is compared, through the largest response factor; of the first alarm also what may be there where
the display lies off by the error that its sensor states. Source: 29 CFR 1910.146 (b) calls more than 10 percent of the
explosive limit hazardous; that this is kept elsewhere too, less the error, is common practice, no source.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.figures.topics.setpoint_room import errors_of
from builder.findings.alarms import PlacedAlarm, comparisons, is_first, limit_keys, placed_alarms, volume_keys
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.keys.families import SETPOINT_TRUE
from builder.program.sensors import FLAMMABLE

ID = "flammable-alarm-late"
SEVERITIES = (Severity.STOP, Severity.WARN)
ACCEPTABLE: Final = True
HAZARDOUS = Fraction(10)
"""%LEL that is really there."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for the first alarm of an area, a ``warn`` for a later one, and for a first one without room."""
    program, ledger = computed.program, computed.ledger
    told = {one.placed.figure.key for one in comparisons(program, ledger) if one.beyond}
    for placed in placed_alarms(program, ledger):
        if placed.channel != FLAMMABLE or placed.figure.key in told:  # told by alarm-above-limit
            continue
        shown = _worst(placed, ledger)
        if shown.rounded > HAZARDOUS:
            yield _finding(placed, shown)
        elif is_first(placed) and not (
            limit_keys(placed, ledger) or volume_keys(placed, ledger)
        ):  # else alarm-at-limit
            off = _off_by(placed) if placed.figure.rounded else None  # at nothing it is alarm-rounds-to-nothing
            if off is not None and (placed.figure.rounded + off) * _factor(placed, shown) > HAZARDOUS:
                yield _without_room(placed, shown)


def _worst(placed: PlacedAlarm, ledger: Ledger) -> Figure:
    """The most that is there of any hazard when it sounds; the setpoint itself where no hazard is seen by it."""
    named = (
        ledger.get(SETPOINT_TRUE(area=placed.area.id, gas=hazard.gas.value, alarm=placed.alarm.name))
        for hazard in placed.area.hazards
    )
    return max((figure for figure in named if figure is not None), key=lambda one: one.number, default=placed.figure)


def _factor(placed: PlacedAlarm, shown: Figure) -> Fraction:
    """By how much more is there than the display shows."""
    return shown.number / placed.figure.rounded


def _off_by(placed: PlacedAlarm) -> Fraction | None:
    """By how many %LEL the display may lie off at the alarm: the most of the sensors there; ``None`` if not stated."""
    errors = errors_of(tuple(sensor for _, _, sensor in placed.fitted))
    parts = [magnitude(error.absolute.value, "%LEL") for error in errors or () if error.absolute]
    parts += [magnitude(error.relative.value, "") * placed.figure.rounded for error in errors or () if error.relative]
    return max(parts, default=None)


def _without_room(placed: PlacedAlarm, shown: Figure) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{placed.area.name}: the {placed.called} sounds at {shown.printed} really there, and no rule gives it "
        "another bound than a tenth of the explosive limit; where the display lies off by the error that its sensor "
        "states, more than that is there before it sounds.",
        where=placed.alarm.value.where,
        figures=keys(placed.figure, shown),
        source=COMMON_PRACTICE,
        mend="set it earlier by the error of the display",
        subject=f"area:{placed.area.id}",
    )


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
