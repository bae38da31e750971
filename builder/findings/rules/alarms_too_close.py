"""Two alarms of one channel that cannot be told apart: no display step between them, or less than the sensor drifts.

The drift taken is what the calibrations of the plan let pass at the higher alarm.
Source: common practice, no published source.
"""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude, quantity
from builder.base.rounding import printed_text
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.formulas.acceptance import share, tolerance
from builder.figures.roundings import hazard_digits
from builder.findings.alarms import SETPOINTS, PlacedAlarm, area_references, placed_alarms, places
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.program import Program
from builder.program.sensors import OXYGEN

ID = "alarms-too-close"
SEVERITIES = (Severity.STOP, Severity.WARN)

CALIBRATIONS = ("calibration", "calibration-check")
"""Kinds of check whose windows say how far a display may drift."""

Pair = tuple[PlacedAlarm, PlacedAlarm]


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for two alarms at one value, a ``warn`` for two too close; once for all areas alike."""
    groups: dict[tuple[Where, str, str], list[Pair]] = {}
    by_place: dict[tuple[str, str], dict[str, PlacedAlarm]] = {}
    for placed in placed_alarms(computed.program, computed.ledger):
        by_place.setdefault((placed.area.id, placed.channel), {})[placed.alarm.name] = placed
    for (_, channel), alarms in by_place.items():
        low, high = alarms.get("low"), alarms.get("high")
        if channel != OXYGEN and low is not None and high is not None and _close(computed.program, low, high):
            case = (low.alarm.value.where, low.figure.printed, high.figure.printed)
            groups.setdefault(case, []).append((low, high))
    for group in groups.values():
        yield _finding(computed.program, group)


def _close(program: Program, low: PlacedAlarm, high: PlacedAlarm) -> bool:
    apart = _apart(low, high)
    return apart <= _step(low) or apart < _drift(program, high)


def _apart(low: PlacedAlarm, high: PlacedAlarm) -> Fraction:
    return high.figure.rounded - low.figure.rounded


def _step(placed: PlacedAlarm) -> Fraction:
    """The coarsest step of the displays there."""
    return max(magnitude(position.resolution.value, placed.figure.unit) for _, position, _ in placed.fitted)


def _drift(program: Program, placed: PlacedAlarm) -> Fraction:
    """How far a display may have moved at an alarm and still pass a calibration check, by the widest of the plan."""
    at, unit = quantity(placed.figure.rounded, placed.figure.unit), placed.figure.unit
    checks = (check for check in program.checks.values() if check.kind in CALIBRATIONS)
    windows = [check.window[placed.channel] for check in checks if placed.channel in check.window]
    passed = [window.absolute.value for window in windows if window.absolute is not None]
    passed += [share(window.relative.value, at) for window in windows if window.relative is not None]
    return magnitude(tolerance(passed), unit) if passed else Fraction(0)


def _finding(program: Program, group: list[Pair]) -> Finding:
    low, high = group[0]
    lows, how = [first for first, _ in group], _how(program, low, high)
    return Finding(
        rule=ID,
        severity=Severity.STOP if _apart(low, high) <= 0 else Severity.WARN,
        message=f"{places(lows)}: the two alarms of {low.called.partition(' of ')[2]} stand {how}, "
        f"at {low.figure.printed} and {high.figure.printed}. Nobody can tell one from the other.",
        where=low.alarm.value.where,
        figures=keys(*(figure for one in group for figure in (one[0].figure, one[1].figure))),
        source=COMMON_PRACTICE,
        mend="set the first alarm lower",
        subject=SETPOINTS,
        touches=area_references(lows),
    )


def _how(program: Program, low: PlacedAlarm, high: PlacedAlarm) -> str:
    if _apart(low, high) <= 0:
        return "at the same value"
    if _apart(low, high) <= _step(low):
        return "one step of the display apart"
    drift = printed_text(_drift(program, high), hazard_digits(2))
    return f"closer than the {drift} {high.figure.unit} that a calibration lets the display drift"
