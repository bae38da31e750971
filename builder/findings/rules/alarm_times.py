"""How long alarms and averages take, and how long people are at work."""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import Quantity, magnitude
from builder.base.where import Given, Where
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger, figures_there
from builder.figures.settings_read import number_of
from builder.figures.topics.shifts import USUAL
from builder.findings.alarms import SETPOINTS, PlacedAlarm, placed_alarms, protected_gas
from builder.findings.limit_comparisons import area_references, places
from builder.findings.rule import rule
from builder.findings.wording import keys, short_list
from builder.program.areas import Area
from builder.program.checks import Check
from builder.program.keys import families as keyed
from builder.program.models import Model
from builder.program.program import Program
from builder.program.sensors import VAPOUR
from builder.reference.limits import KINDS_BY_ID

LONGEST_TIME, USUAL_TIME = Fraction(90), Fraction(60)
"""Seconds."""


@rule(Severity.STOP, Severity.WARN, acceptable=True, about="page:checks", source="BG RCI FAQ 2.9")
def alarm_time_too_long(ledger: Ledger, check: Check) -> Iterator[Finding]:
    """A bump test that lets an alarm take longer than any sensor should, or does not say how long it may take.

    Source: BG RCI FAQ 2.9: flammable gases within 45 s, oxygen and most others within 60 s, toxic gases within 90
    s.
    """
    # A stop above the longest of the three times, a warn above the middle one and where no time is said
    if check.alarms_within is None:
        if check.kind == "bump-test":
            yield alarm_time_too_long.found(
                severity=Severity.WARN,
                message=f"{check.name} does not say within what time the alarms must sound, so one that takes "
                "minutes passes.",
                where=check.where,
                mend="say alarms-within: 45 s, or what the detector's manual asks for",
            )
        return
    seconds = magnitude(check.alarms_within.value, "s")
    if seconds > USUAL_TIME:
        yield alarm_time_too_long.found(
            severity=Severity.STOP if seconds > LONGEST_TIME else Severity.WARN,
            message=f"{check.name} lets the alarms take {check.alarms_within.text}. Flammable gas should bring "
            "them within 45 s, oxygen within 60 s, toxic gas within 90 s.",
            where=check.alarms_within.where,
            figures=keys(ledger.get(keyed.CHECK_ALARMS_WITHIN(check=check.id))),
            mend="ask for a shorter time; a sensor that takes longer is worn or its filter is blocked",
        )


@rule(Severity.STOP, Severity.WARN, source="OSHA bulletin on verifying calibration of 26 Nov 2024; arithmetic")
def alarm_outlasts_gas(program: Program, ledger: Ledger, check: Check) -> Iterator[Finding]:
    """Alarms that may come, or are held back, until the gas of the bump test is shut off: then no test proves them.

    Source: the definition of a bump test in OSHA's bulletin of 26 Nov 2024, gas that sets off the alarms; arithmetic.
    """
    # A stop where a unit holds its alarms back so long, a warn where the check waits so long for them
    gas = ledger.get(keyed.CHECK_GAS_TIME(check=check.id))
    if check.kind != "bump-test" or check.gas_time is None or gas is None:
        return
    seconds = magnitude(check.gas_time.value, "s")
    within = check.alarms_within
    if within is not None and magnitude(within.value, "s") >= seconds:
        told = f"{check.name} waits {within.text} for the alarms"
        yield _finding_of_alarm_outlasts_gas(Severity.WARN, told, within.where, gas, "page:checks")
    for model in program.models.values():
        waiting = _held_back(program, model)
        if waiting is not None and (number_of(waiting.text, "s") or 0) >= seconds:
            told = f"{model.name} holds its alarms back for {waiting.text}"
            yield _finding_of_alarm_outlasts_gas(Severity.STOP, told, waiting.where, gas, f"model:{model.id}")


def _held_back(program: Program, model: Model) -> Given[str] | Given[Quantity] | None:
    """How long its alarms wait: as the site wants them set, else as its description says."""
    wanted = program.wanted_of(model.id).get("alarm-delay")
    return wanted or (model.alarm_modes.delay if model.alarm_modes else None)


def _finding_of_alarm_outlasts_gas(severity: Severity, told: str, where: Where, gas: Figure, subject: str) -> Finding:
    return alarm_outlasts_gas.found(
        severity=severity,
        message=f"{told}, and the gas of the bump test flows for {gas.printed}: it is shut off before an alarm has to "
        "sound, so the test proves none.",
        where=where,
        figures=keys(gas),
        mend="let the alarms sound at once, and give gas for longer than they may take",
        subject=subject,
    )


ASKED = {"twa": (keyed.MODEL_TWA_OVER, "h", 8), "stel": (keyed.MODEL_STEL_OVER, "min", 15)}


@rule(Severity.WARN, source="29 CFR 1910.1000 (a)(1), (d)(1)")
def average_base_differs(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """An averaged alarm that protects a limit over 8 h or 15 min, on a model that averages over another time.

    Or one that is said to protect a limit over a shorter time, as a ceiling: long before such an alarm sounds, more is
    there. Source: 29 CFR 1910.1000 (d)(1), the dose over eight hours; (a)(1), 15 minutes, and ceilings never passed.
    """
    # A warn for each model and averaged alarm, with the areas that set it, and for each limit over a shorter time
    shorter = (one for one in placed_alarms(program, ledger) if one.alarm.protects and _averages_longer(one))
    for group in grouped(shorter, lambda one: one.alarm.protects).values():
        protects = group[0].alarm.protects or group[0].alarm.value
        yield average_base_differs.found(
            message=f"{places(group)}: the {group[0].called} is said to protect {protects.text}, which holds over a "
            "shorter time: it can be far passed before an average of it is.",
            where=protects.where,
            figures=keys(*(one.figure for one in group)),
            source="29 CFR 1910.1000 (a)(1), (d)(1)",
            mend="protect it by an alarm of the moment, and name a limit that is an average over the same time",
            subject=SETPOINTS,
            touches=area_references(group),
        )
    for model in program.models.values():
        for alarm, (family, unit, asked) in ASKED.items():
            base = ledger.get(family(model=model.id))
            areas = _areas(program, model, alarm)
            if base is not None and areas and magnitude(base.amount, unit) != asked:
                averages = model.averages
                stated = averages and (averages.twa_over if alarm == "twa" else averages.stel_over)
                yield average_base_differs.found(
                    message=f"{model.name} averages its {alarm.upper()} over {base.printed}, but the limit it protects "
                    f"is over {asked} {unit}: {short_list(areas)}.",
                    where=stated.where if stated else model.where,
                    figures=keys(base),
                    mend="set the time base of the unit, or work the alarm back for it",
                    subject=f"model:{model.id}",
                )


def _averages_longer(placed: PlacedAlarm) -> bool:
    """Whether an alarm averages over a longer time than the limit that it is said to protect."""
    named = placed.alarm.protects.value.partition(".")[2] if placed.alarm.protects else ""
    own, kind = KINDS_BY_ID.get(placed.alarm.name), KINDS_BY_ID.get(named)
    return own is not None and kind is not None and kind.to_work_to and kind.minutes < own.minutes


def _areas(program: Program, model: Model, alarm: str) -> list[str]:
    """Names of the areas in which a channel of a model has such an alarm."""
    channels = {sensor.channel.value for _, sensor in program.fitted(model)}
    return [
        area.name
        for area in program.areas.values()
        if any(given.value == model.id for given in area.detectors)
        and any((entry := program.setpoint(area.id, channel)) and entry.alarm(alarm) for channel in channels)
    ]


@rule(Severity.WARN, about=SETPOINTS)
def average_over_long_shift(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """An alarm of an 8-hour average above the limit that the site itself lowered for its longer shifts.

    Source: Brief and Scala (1975), where the site chose their rule for long turns; it advises, it is no law.
    """
    # A warn for each such alarm, once for all areas in which it is the same; of vapour for the gas it protects
    groups: dict[tuple[Where, str], list[tuple[PlacedAlarm, Figure, Figure]]] = {}
    for placed in placed_alarms(program, ledger):
        lowered = _lowered(program, ledger, placed) if placed.alarm.name == "twa" else None
        there = _there(ledger, placed)
        if lowered is not None and magnitude(there.printed_amount, "ppm") > magnitude(lowered.amount, "ppm"):
            groups.setdefault((placed.alarm.value.where, lowered.key), []).append((placed, there, lowered))
    for cases in groups.values():
        group, (placed, there, lowered) = [one for one, _, _ in cases], cases[0]
        really = f", which is {there.printed} of what it protects against" if there is not placed.figure else ""
        yield average_over_long_shift.of_alarms(
            group,
            f"the {placed.called} is set to {placed.figure.printed}{really}, above {lowered.printed}, to which this "
            "site lowers the limit for its longer shifts.",
            figures=keys(*(figure for one, shown, _ in cases for figure in (one.figure, shown)), lowered),
            source=lowered.source,
            mend="set it to the lowered limit or below",
        )


def _there(ledger: Ledger, placed: PlacedAlarm) -> Figure:
    """What is there when the alarm sounds: of vapour the gas that it protects against, else what the display shows."""
    gas = protected_gas(placed)
    key = keyed.SETPOINT_VAPOUR(area=placed.area.id, gas=gas, alarm=placed.alarm.name)
    shown = ledger.get(key) if placed.channel == VAPOUR else None
    return shown or placed.figure


def _lowered(program: Program, ledger: Ledger, placed: PlacedAlarm) -> Figure | None:
    """The strictest lowered average of the lists that count in the area, or ``None`` where the site lowers none."""
    lists, gas = program.limit_lists_in(placed.area), protected_gas(placed)
    found = (keyed.EXPOSURE_LIMIT_LONG_SHIFT(gas=gas, list=name, kind="twa") for name in lists)
    return min(figures_there(ledger, found), key=lambda one: one.number, default=None)


@rule(Severity.WARN, about=SETPOINTS)
def long_shift_undecided(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Turns of work longer than the 8 hours of the averages that are kept, and no word on what then holds.

    Source: 29 CFR 1910.1000 (a) and (b), averages over an 8-hour shift of a 40-hour week; a lowering for longer
    turns is a site's choice (Brief and Scala, 1975), which the law asks for lead alone.
    """
    # A warn where an averaged alarm is set and the site neither lowers limits nor says that it does not
    site, shift = program.site, ledger.get(keyed.SITE_SHIFT())
    if site.long_shift is not None or site.shift is None or shift is None or magnitude(shift.amount, "h") <= USUAL:
        return
    averaged = [one for one in placed_alarms(program, ledger) if one.alarm.name == "twa"]
    if averaged:
        yield long_shift_undecided.found(
            message=f"A shift lasts {shift.printed}, the limits that averaged alarms protect are for {USUAL} h. "
            "Whether they are lowered for it is not said.",
            where=site.shift.where,
            figures=keys(shift, *(one.figure for one in averaged)),
            source="29 CFR 1910.1000 (a): averages over 8 hours; Brief and Scala (1975) for longer turns",
            mend="enter long-shift: brief-scala to print them lowered, or long-shift: none",
        )


@rule(Severity.WARN, source="time the site states for the area")
def lone_worker_too_long(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """Lone-worker timers that together run longer than the area allows before help is called.

    Source: the time the site states for the area.
    """
    within = area.rescue_within
    for model in program.models_in(area):
        known = ledger.get(keyed.MODEL_KNOWN_AFTER(model=model.id))
        last = known or ledger.get(keyed.MODEL_LONE_WORKER_TOTAL(model=model.id))
        if within is None or last is None or magnitude(last.amount, "s") <= magnitude(within.value, "s"):
            continue
        told = "with relay and answer its alarm is known" if known else "it sounds its full lone-worker alarm"
        yield lone_worker_too_long.found(
            message=f"{area.name}, {model.name}: {told} after {last.printed}, but help must be called within "
            f"{within.text}.",
            where=within.where,
            figures=keys(last, ledger.get(keyed.AREA_RESCUE_WITHIN(area=area.id))),
            mend="shorten the timers, or do not work there alone",
        )
