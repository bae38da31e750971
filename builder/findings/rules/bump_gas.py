"""Whether bump gas proves what a bump is there to prove."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import magnitude, quantity, same_dimension
from builder.base.record import dataclass
from builder.base.rounding import plain
from builder.figures.figure import Figure
from builder.figures.formulas.acceptance import alarm_trips
from builder.figures.formulas.acceptance import bump_ratio as ratio_of
from builder.figures.ledger import Ledger
from builder.figures.topics.gas_ratios import BUMP_TEST
from builder.findings.bumps import EVERY_ALARM, Bump, Shown, areas_of, bump_cylinders, bump_tests, bumps, shown_by
from builder.findings.record_findings import by_cause
from builder.findings.rule import rule
from builder.findings.sensor_coverage import sees
from builder.findings.wording import channel_words, keys, short_list
from builder.program.alarm_words import alarm_of
from builder.program.areas import Area
from builder.program.checks import Check
from builder.program.gas_plan import reaches
from builder.program.keys.families import SETPOINT
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN


@dataclass(frozen=True, slots=True, kw_only=True)
class SilentAlarm:
    """One alarm that a cylinder need not set off."""

    bump: Bump
    shown: Shown
    """What the strongest part of the gas makes the display show."""
    area: Area
    name: str
    alarm: Figure


@rule(Severity.STOP, Severity.WARN, source="BG RCI FAQ 2.9; a bump test sets off every alarm")
def bump_gas_below_alarm(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Check gas that, less its own uncertainty, cannot set off an alarm that the bump test must prove.

    Each component is taken by itself. Oxygen gas must lie below the low alarm by its uncertainty; the oxygen high
    alarm is left out, since such gas cannot prove it. Source: BG RCI FAQ 2.9 and the definition of a bump test, gas
    strong enough for every alarm.
    """
    # A stop for each cylinder and sensor, with all the alarms that it need not set off
    silent = _silent_alarms(program, ledger)
    for group in grouped(silent, lambda one: (one.bump.cylinder.id, one.bump.sensor.id)).values():
        bump, shown = group[0].bump, group[0].shown
        figures = (*shown.figures, *(one.alarm for one in group))
        way = "above" if bump.sensor.channel.value == OXYGEN else "below"
        strictly = "; it sounds only beyond its setpoint" if bump.model.alarm_fires.value == "above" else ""
        channel = bump.sensor.channel.value
        told = ((alarm_of(one.name, channel, channel_words(channel)), one) for one in group)
        alarms = list(dict.fromkeys(f"its {words} in {one.area.name}, {one.alarm.printed}" for words, one in told))
        units = list(dict.fromkeys(unit.id for one in group for unit in one.bump.units))
        yield bump_gas_below_alarm.found(
            severity=Severity.STOP,
            rests_on=figures,
            message=f"Cylinder {bump.cylinder.id} makes {bump.sensor.name} show {shown.text} (uncertain by "
            f"{shown.component.uncertainty.text}), which can stay {way} {short_list(alarms)}{strictly}; "
            f"bumped with it: {short_list(units)}.",
            where=shown.component.value.where,
            figures=keys(*figures),
            mend="use gas that sets off every alarm of those units, or state that the check is no bump test",
            subject=f"cylinder:{bump.cylinder.id}",
            touches=tuple(dict.fromkeys(f"area:{one.area.id}" for one in group)),
        )


def _silent_alarms(program: Program, ledger: Ledger) -> Iterator[SilentAlarm]:
    for bump in bumps(program):
        shown = shown_by(ledger, bump)
        for area in areas_of(program, bump) if shown else ():
            for name, alarm in _alarms(program, ledger, bump, area):
                if not any(_trips(bump, part, alarm) for part in shown):
                    yield SilentAlarm(bump=bump, shown=_strongest(bump, shown), area=area, name=name, alarm=alarm)


def _alarms(program: Program, ledger: Ledger, bump: Bump, area: Area) -> Iterator[tuple[str, Figure]]:
    """Alarms of the sensor's own channel; a key of another channel's alarm must not pass for one."""
    channel = bump.sensor.channel.value
    entry = program.setpoint(area.id, channel)
    for name in ("low",) if channel == OXYGEN else ("low", "high"):
        alarm = ledger.get(SETPOINT(area=area.id, channel=channel, alarm=name)) if entry and entry.alarm(name) else None
        if alarm is not None:
            yield name, alarm


def _trips(bump: Bump, shown: Shown, alarm: Figure) -> bool:
    return same_dimension(shown.display, alarm.unit) and alarm_trips(
        shown.display,
        quantity(alarm.rounded, alarm.unit),
        fires_at_setpoint=bump.model.alarm_fires.value == "at-or-above",
        falling=bump.sensor.channel.value == OXYGEN,
        error=shown.error,
    )


def _strongest(bump: Bump, shown: tuple[Shown, ...]) -> Shown:
    if bump.sensor.channel.value == OXYGEN:
        return min(shown, key=lambda part: part.display + part.error)
    return max(shown, key=lambda part: part.display - part.error)


@rule(Severity.STOP, Severity.WARN, acceptable=True, source=EVERY_ALARM)
def bump_gas_missing(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A unit in use that no gas proves: no cylinder that serves a bump test, or one that holds nothing a sensor sees.

    A cylinder in nitrogen without oxygen proves an oxygen sensor, which it takes to nothing. Source: the definition of
    a bump test in OSHA's bulletin of 26 Nov 2024, gas to every sensor that sets off its alarms.
    """
    # A stop for all units without gas, and for each sensor of a hazard that a cylinder leaves out; else a warn
    if bump_tests(program):
        yield from by_cause(_units(program), "unit")
    for bump in bumps(program):
        reached = any(reaches(one, bump.sensor) for one in bump_cylinders(program, bump.units[0]))
        if not shown_by(ledger, bump) and not (reached and bump.sensor.channel.value == OXYGEN):
            guarded = [] if reached else _guarded(program, bump)
            yield bump_gas_missing.found(
                severity=Severity.STOP if guarded else Severity.WARN,
                message=f"Cylinder {bump.cylinder.id} holds nothing that makes {bump.sensor.name} in {bump.model.name} "
                f"show a known value; bumped with it: {short_list([unit.id for unit in bump.units])}."
                + (f" No gas ever proves what is there to see {short_list(guarded)}." if guarded else ""),
                where=bump.cylinder.where,
                mend="use gas that has a component for every sensor, or name a second cylinder for this one",
                subject=f"cylinder:{bump.cylinder.id}",
            )


def _guarded(program: Program, bump: Bump) -> list[str]:
    """Hazards, but oxygen, which breath or nitrogen may prove too, that the sensor sees where its units are used."""
    return list(
        dict.fromkeys(
            program.gases[hazard.gas.value].name
            for area in areas_of(program, bump)
            for hazard in area.hazards
            if bump.sensor.channel.value != OXYGEN and sees(bump.sensor, hazard.gas.value)
        )
    )


def _units(program: Program) -> Iterator[tuple[str, Finding]]:
    for unit in program.units.values():
        if unit.in_use and not bump_cylinders(program, unit):
            named = short_list([given.value for given in unit.cylinders])
            lacks = f"its cylinder {named} serves no bump test" if named else "it names no cylinder"
            yield (
                named,
                bump_gas_missing.found(
                    severity=Severity.STOP,
                    message=f"Unit {unit.id} is in use and bump tests are planned, but {lacks}.",
                    where=unit.cylinders[0].where if unit.cylinders else unit.where,
                    mend="name the cylinder it is bumped with",
                    subject=f"unit:{unit.id}",
                ),
            )


RISING = (Fraction("1.2"), Fraction(2))
FALLING = (Fraction("0.9"), Fraction(1))
MOST_LEL = Fraction(60)
SCALE = "arithmetic on the full scale that the site's models state"


@dataclass(frozen=True, slots=True, kw_only=True)
class _BumpOutOfProportion:
    """One cylinder on one kind of sensor, and where it is out of proportion."""

    bump: Bump
    shown: Shown
    alarm: Figure
    ratio: Fraction
    bounds: str
    beyond: bool
    """Whether the display does not reach so far."""
    areas: list[str]


@rule(Severity.STOP, Severity.WARN)
def bump_ratio(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Bump gas that is too weak or too strong beside the alarm it must prove.

    Rising alarms: 1.2 to 2.0 times the highest; flammable gas from 1.2 times up to 60 %LEL, since no bottle would
    lie between for alarms of a few %LEL; oxygen: from 0.9 to below 1 times the low alarm. A check of the plan may
    state another ratio, which then holds for flammable gas too; where its window judges the reading, and not the alarm
    alone, gas may be stronger. Source: BG RCI FAQ 2.9, and that the site sets what passes; ISEA's statement in OSHA's
    bulletin, a share of the gas applied; gas beyond the full scale of the display that the site's models state shows
    nothing that a check could be judged by.
    """
    # A warn for each cylinder and kind of sensor, with the first alarm that shows it; a stop beyond the full scale
    made: dict[tuple[str, str], _BumpOutOfProportion] = {}
    for bump in bumps(program):
        shown = shown_by(ledger, bump)
        for area in areas_of(program, bump) if shown else ():
            case = _case_of(program, ledger, bump, _decisive(bump, shown), area)
            if case is not None:
                first = made.setdefault((bump.cylinder.id, bump.sensor.id), case)
                if area.name not in first.areas:
                    first.areas.append(area.name)
    for case in made.values():
        cylinder, figures = case.bump.cylinder.id, case.shown.figures
        yield bump_ratio.found(
            severity=Severity.STOP if case.beyond else Severity.WARN,
            rests_on=figures,
            message=f"Cylinder {cylinder} makes {case.bump.sensor.name} show {case.shown.text}, "
            f"{float(case.ratio):.2f} times its alarm at {case.alarm.printed}; it should be {case.bounds} "
            f"({short_list(case.areas)}).",
            where=case.shown.component.value.where,
            figures=keys(*figures, case.alarm),
            source=SCALE if case.beyond else "BG RCI FAQ 2.9",
            mend="look whether value and unit are those on the bottle, or use gas that the display can show"
            if case.beyond
            else "use gas nearer to the alarm, or state a window for the reading or a ratio of your own in checks.yaml",
            subject=f"cylinder:{cylinder}",
        )


def _decisive(bump: Bump, shown: tuple[Shown, ...]) -> Shown:
    """The component that sounds the alarm: least oxygen, else the strongest display."""
    pick = min if bump.sensor.channel.value == OXYGEN else max
    return pick(shown, key=lambda part: part.display)


def _case_of(program: Program, ledger: Ledger, bump: Bump, shown: Shown, area: Area) -> _BumpOutOfProportion | None:
    alarms = (alarm for _, alarm in _alarms(program, ledger, bump, area))
    alarm = max(alarms, key=lambda figure: figure.rounded, default=None)
    if alarm is None or not same_dimension(shown.display, alarm.unit) or alarm.rounded <= 0:
        return None
    ratio = magnitude(ratio_of(shown.display, quantity(alarm.rounded, alarm.unit)), "")
    full = bump.position.full_scale
    beyond = same_dimension(shown.display, bump.position.unit) and shown.display > full.value
    bounds = _broken(bump, shown, ratio, [program.checks[served.value] for served in bump.cylinder.checks])
    bounds = f"at most {full.text}, where the display ends" if beyond else bounds
    case = _BumpOutOfProportion(
        bump=bump, shown=shown, alarm=alarm, ratio=ratio, bounds=bounds, beyond=beyond, areas=[]
    )
    return case if bounds else None


def _broken(bump: Bump, shown: Shown, ratio: Fraction, checks: Iterable[Check]) -> str:
    """The bounds that a ratio breaks, in words; empty when it keeps them."""
    channel, tests = bump.sensor.channel.value, [check for check in checks if check.kind == BUMP_TEST]
    stated = next(((one.ratio.least.value, one.ratio.most.value) for one in tests if one.ratio is not None), None)
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
    judged = stated is None and any(channel in one.window for one in tests)
    if judged:
        return "" if low <= ratio else f"{plain(low)} or more"
    return "" if low <= ratio <= high else f"{plain(low)} to {plain(high)}"
