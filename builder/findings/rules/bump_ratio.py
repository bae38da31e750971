"""Bump gas that is too weak or too strong beside the alarm it must prove.

Rising alarms: 1.2 to 2.0 times the highest; flammable gas from 1.2 times up to 60 %LEL, since no bottle would lie
between for alarms of a few %LEL; oxygen: from 0.9 to below 1 times the low alarm. A check of the plan may state another
ratio, which then holds for flammable gas too. Source: BG RCI FAQ 2.9.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude, quantity, same_dimension
from builder.base.rounding import plain
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.figures.formulas.acceptance import bump_ratio
from builder.figures.ledger import Ledger
from builder.findings.bumps import BUMP_TEST, Bump, Shown, areas_of, bumps, shown_by
from builder.findings.wording import keys, short_list
from builder.program.cylinders import Cylinder
from builder.program.keys.families import SETPOINT
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN

ID = "bump-ratio"
SEVERITIES = (Severity.WARN,)
RISING = (Fraction("1.2"), Fraction(2))
FALLING = (Fraction("0.9"), Fraction(1))
MOST_LEL = Fraction(60)


@dataclass(frozen=True, slots=True, kw_only=True)
class _BumpOutOfProportion:
    """One cylinder on one kind of sensor, and where it is out of proportion."""

    bump: Bump
    shown: Shown
    alarm: Figure
    ratio: Fraction
    bounds: str
    areas: list[str]


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each cylinder and kind of sensor, with the first alarm that shows it."""
    program, ledger = computed.program, computed.ledger
    made: dict[tuple[str, str], _BumpOutOfProportion] = {}
    for bump in bumps(program):
        shown = shown_by(ledger, bump)
        for area in areas_of(program, bump) if shown else ():
            case = _case_of(program, ledger, bump, _decisive(bump, shown), area.id)
            if case is not None:
                first = made.setdefault((bump.cylinder.id, bump.sensor.id), case)
                if area.name not in first.areas:
                    first.areas.append(area.name)
    yield from (_finding(case) for case in made.values())


def _decisive(bump: Bump, shown: tuple[Shown, ...]) -> Shown:
    """The component that sounds the alarm: least oxygen, else the strongest display."""
    pick = min if bump.sensor.channel.value == OXYGEN else max
    return pick(shown, key=lambda part: part.display)


def _case_of(program: Program, ledger: Ledger, bump: Bump, shown: Shown, area: str) -> _BumpOutOfProportion | None:
    alarm = _alarm(program, ledger, bump, area)
    if alarm is None or not same_dimension(shown.display, alarm.unit) or alarm.rounded <= 0:
        return None
    ratio = magnitude(bump_ratio(shown.display, quantity(alarm.rounded, alarm.unit)), "")
    bounds = _broken(bump, shown, ratio, _stated_bounds(program, bump.cylinder))
    return (
        _BumpOutOfProportion(bump=bump, shown=shown, alarm=alarm, ratio=ratio, bounds=bounds, areas=[])
        if bounds
        else None
    )


def _broken(bump: Bump, shown: Shown, ratio: Fraction, stated: tuple[Fraction, Fraction] | None) -> str:
    """The bounds that a ratio breaks, in words; empty when it keeps them."""
    channel = bump.sensor.channel.value
    if channel == OXYGEN:
        low, high = FALLING
        return "" if low <= ratio < high else f"from {plain(low)} to below {plain(high)}"
    low, high = stated or RISING
    if channel == FLAMMABLE:
        too_strong = magnitude(shown.display, "%LEL") > MOST_LEL
        if too_strong or (stated is None and ratio < low):
            return f"from {plain(low)} times the alarm up to {plain(MOST_LEL)} %LEL"
        if stated is None:
            return ""
    return "" if low <= ratio <= high else f"{plain(low)} to {plain(high)}"


def _alarm(program: Program, ledger: Ledger, bump: Bump, area: str) -> Figure | None:
    """The highest alarm of the sensor's own channel; of oxygen the low one."""
    channel = bump.sensor.channel.value
    entry = program.setpoint(area, channel)
    names = ("low",) if channel == OXYGEN else ("low", "high")
    found = [
        ledger.get(SETPOINT(area=area, channel=channel, alarm=name)) for name in names if entry and entry.alarm(name)
    ]
    return max((figure for figure in found if figure is not None), key=lambda figure: figure.rounded, default=None)


def _stated_bounds(program: Program, cylinder: Cylinder) -> tuple[Fraction, Fraction] | None:
    for served in cylinder.checks:
        check = program.checks[served.value]
        if check.kind == BUMP_TEST and check.ratio is not None:
            return check.ratio.least.value, check.ratio.most.value
    return None


def _finding(case: _BumpOutOfProportion) -> Finding:
    bump = case.bump
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"Cylinder {bump.cylinder.id} makes {bump.sensor.name} show {case.shown.text}, "
        f"{float(case.ratio):.2f} times its alarm at {case.alarm.printed}; it should be {case.bounds} "
        f"({short_list(case.areas)}).",
        where=case.shown.component.value.where,
        figures=keys(*case.shown.figures, case.alarm),
        source="BG RCI FAQ 2.9",
        mend="use gas nearer to the alarm, or state the site's own ratio with its reason in checks.yaml",
        subject=f"cylinder:{bump.cylinder.id}",
    )
