"""Values of alarms that a display, a sensor or a person cannot follow."""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import magnitude, quantity
from builder.base.rounding import printed_text
from builder.base.where import Where
from builder.figures.formulas.acceptance import share, tolerance
from builder.figures.ledger import Ledger
from builder.figures.roundings import hazard_digits
from builder.findings.alarms import SETPOINTS, PlacedAlarm, placed_alarms
from builder.findings.rule import Caused, rule
from builder.findings.wording import keys
from builder.program.areas import Area
from builder.program.keys.families import AREA_NOISE, LOUDNESS_MARGIN, MODEL_LOUDNESS, MODEL_RESOLUTION
from builder.program.models import Model, Position
from builder.program.program import Program
from builder.program.sensors import OXYGEN

ENOUGH = 15


@rule(Severity.WARN, Severity.NOTE, acceptable=True, source="ISO 7731, recalled and not read")
def alarm_in_noise(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """An alarm that does not stand out of the noise of a place where it is carried.

    Source: ISO 7731 asks for 15 dB above the noise when only A-weighted levels are compared; recalled, not read.
    """
    # A warn for each area and model; a note where the unit shakes as well
    for model in program.models_in(area):
        margin = ledger.get(LOUDNESS_MARGIN(area=area.id, model=model.id))
        if margin is None or model.alarm_modes is None or magnitude(margin.amount, "dB(A)") >= ENOUGH:
            continue
        shakes = any(way.value == "vibration" for way in model.alarm_modes.ways)
        yield alarm_in_noise.found(
            severity=Severity.NOTE if shakes else Severity.WARN,
            message=f"{area.name}: the alarm of {model.name} stands {margin.printed} above the noise, where "
            f"{ENOUGH} dB(A) are asked for"
            + ("; whoever carries it has to feel it shake." if shakes else ", and it does not shake."),
            where=area.noise.where if area.noise else area.where,
            figures=keys(margin, ledger.get(AREA_NOISE(area=area.id)), ledger.get(MODEL_LOUDNESS(model=model.id))),
            mend="carry a louder unit, wear it where it is felt, or add a sounder",
        )


Case = tuple[Where, str, str, str]
"""Line of the alarm, model, how it does not fit, and what is printed."""


@rule(Severity.NOTE, about=SETPOINTS, source="the instrument's stated resolution")
def alarm_off_step(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A setpoint that no display there can show as written; the rounded one is what is set and printed.

    Source: arithmetic on the instrument's stated resolution.
    """
    # A note for each alarm and model whose steps do not meet the value, once for all its areas
    groups: dict[Case, list[PlacedAlarm]] = {}
    steps: dict[Case, tuple[Model, Position]] = {}
    for placed in placed_alarms(program, ledger):
        for model, position, _ in placed.fitted:
            how = _how_of_alarm_off_step(placed, position)
            if how:
                case = (placed.alarm.value.where, model.id, how, placed.figure.printed)
                groups.setdefault(case, []).append(placed)
                steps[case] = (model, position)
    for case, group in groups.items():
        model, position = steps[case]
        yield alarm_off_step.of_alarms(
            group,
            f"the {group[0].called} {case[2]}, no whole number of steps of {model.name} ({position.resolution.text}); "
            f"{case[3]} is printed.",
            ledger.get(MODEL_RESOLUTION(model=model.id, sensor=position.sensor.value)),
            mend="write a value that every instrument there can be set to",
        )


def _how_of_alarm_off_step(placed: PlacedAlarm, position: Position) -> str:
    """In what way the steps of a display do not meet an alarm; empty where they do."""
    step = magnitude(position.resolution.value, placed.figure.unit)
    if not placed.alarm.true_value and magnitude(placed.alarm.value.value, placed.figure.unit) % step != 0:
        return f"is written as {placed.alarm.value.text}"
    return "does not fit every display there" if placed.figure.rounded % step != 0 else ""


@rule(Severity.STOP, Severity.WARN, source="the instrument's stated resolution")
def alarm_rounds_to_nothing(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A setpoint that, rounded to what the instrument can be set to, is nothing or less than one step of the display.

    Source: arithmetic on the instrument's stated resolution.
    """
    # A stop for each such alarm, once for the coarsest display
    for placed in placed_alarms(program, ledger):
        model, position, _ = max(
            placed.fitted, key=lambda fitted: magnitude(fitted[1].resolution.value, placed.figure.unit)
        )
        step = magnitude(position.resolution.value, placed.figure.unit)
        if placed.figure.rounded < step:
            yield alarm_rounds_to_nothing.found(
                severity=Severity.STOP,
                rests_on=[placed.figure],
                message=f"{placed.area.name}: the {placed.called} comes to {placed.figure.printed}, less than one step "
                f"of {model.name} ({position.resolution.text}).",
                where=placed.alarm.value.where,
                figures=keys(placed.figure, ledger.get(MODEL_RESOLUTION(model=model.id, sensor=position.sensor.value))),
                mend="use an instrument with a finer display there, or a sensor that needs a smaller correction",
                subject=f"area:{placed.area.id}",
            )


@rule(Severity.WARN, counted="row", source="the full scale in models.yaml, from the instrument's manual")
def reading_beyond_scale(program: Program) -> Iterator[Caused]:
    """A recorded reading that the display of its unit cannot show: beyond the full scale of the sensor.

    Most often it is written in another unit than the display's, or its decimal mark was lost. Source: the full
    scale that the site's models state, from the instrument's manual.
    """
    # A warn for each unit and sensor, with all such rows
    scales = {
        (model.id, position.sensor.value): (magnitude(position.full_scale.value, position.unit), position.full_scale)
        for model in program.models.values()
        for position in model.positions
    }
    for record in program.records:
        unit = program.units.get(record.unit.value)
        scale = scales.get((unit.model.value, record.sensor.value)) if unit and record.sensor else None
        readings = [one for one in (record.as_found, record.as_left) if one and scale and abs(one.value) > scale[0]]
        if scale and readings:
            told = f"{readings[0].text} is beyond the full scale of the display, {scale[1].text}."
            mend = "write the reading as the display showed it, or with its unit"
            cause = (record.unit.value, record.sensor and record.sensor.value)
            yield cause, reading_beyond_scale.of_row(program, record, told, mend=mend)


@rule(Severity.STOP)
def danger_to_life_as_target(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """An alarm that is said to protect the value immediately dangerous to life: nobody may still be there then.

    Source: NIOSH Pocket Guide, introduction: the value is for the choice of respirators, it is no limit to work to.
    """
    # A stop for each alarm that names such a value, once for all areas
    protecting = (one for one in placed_alarms(program, ledger) if one.alarm.protects)
    for protects, group in grouped(protecting, lambda one: one.alarm.protects).items():
        if protects is None or protects.value.rpartition(".")[2] != "idlh":
            continue
        yield danger_to_life_as_target.of_alarms(
            group,
            f"the {group[0].called}, {group[0].figure.printed}, is said to protect the value that is immediately "
            "dangerous to life. Whoever hears it may no longer be able to leave.",
            where=protects.where,
            source="NIOSH Pocket Guide to Chemical Hazards, introduction: a value for the choice of respirators",
            mend="protect a ceiling, a short-term or an average limit",
        )


CALIBRATIONS = ("calibration", "calibration-check")
"""Kinds of check whose windows say how far a display may drift."""
Pair = tuple[PlacedAlarm, PlacedAlarm]


@rule(Severity.STOP, Severity.WARN, about=SETPOINTS)
def alarms_too_close(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Two alarms of one channel that cannot be told apart: no display step apart, or less than the sensor drifts.

    The drift taken is what the calibrations of the plan let pass at the higher alarm. Source: common practice, no
    published source.
    """
    # A stop for two alarms at one value, a warn for two too close; once for all areas alike
    groups: dict[tuple[Where, str, str], list[Pair]] = {}
    by_place: dict[tuple[str, str], dict[str, PlacedAlarm]] = {}
    for placed in placed_alarms(program, ledger):
        by_place.setdefault((placed.area.id, placed.channel), {})[placed.alarm.name] = placed
    for (_, channel), alarms in by_place.items():
        low, high = alarms.get("low"), alarms.get("high")
        if channel != OXYGEN and low is not None and high is not None and _close(program, low, high):
            case = (low.alarm.value.where, low.figure.printed, high.figure.printed)
            groups.setdefault(case, []).append((low, high))
    for group in groups.values():
        low, high = group[0]
        lows, how = [first for first, _ in group], _how_of_alarms_too_close(program, low, high)
        yield alarms_too_close.of_alarms(
            lows,
            f"the two alarms of {low.called.partition(' of ')[2]} stand {how}, at {low.figure.printed} and "
            f"{high.figure.printed}. Nobody can tell one from the other.",
            severity=Severity.STOP if _apart(low, high) <= 0 else Severity.WARN,
            figures=keys(*(figure for one in group for figure in (one[0].figure, one[1].figure))),
            mend="set the first alarm lower",
        )


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


def _how_of_alarms_too_close(program: Program, low: PlacedAlarm, high: PlacedAlarm) -> str:
    if _apart(low, high) <= 0:
        return "at the same value"
    if _apart(low, high) <= _step(low):
        return "one step of the display apart"
    drift = printed_text(_drift(program, high), hazard_digits(2))
    return f"closer than the {drift} {high.figure.unit} that a calibration lets the display drift"
