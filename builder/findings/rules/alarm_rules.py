"""Alarms held against the rules of the place and the work."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import magnitude, same_dimension
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger, figures_there
from builder.figures.topics.setpoint_room import errors_of
from builder.findings.alarms import SETPOINTS, PlacedAlarm, is_first, limit_keys, placed_alarms, volume_keys
from builder.findings.limit_comparisons import area_references, comparisons, places
from builder.findings.rule import rule
from builder.findings.wording import channel_words, keys, short_list
from builder.program.alarm_words import OXYGEN_WORDS, RISING_WORDS
from builder.program.keys.families import EXPOSURE_LIMIT, SETPOINT_TRUE, SETPOINT_VAPOUR
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR
from builder.program.setpoints import BY_RULE
from builder.reference.limits import KINDS_BY_ID, binding, keeps
from builder.reference.published import Published


@rule(Severity.NOTE, about=SETPOINTS)
def alarm_without_rule(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Flammable and oxygen alarms to which no rule of the place and activities gives a number, so nothing was compared.

    Source: the rules table; some places ask for a risk assessment instead of a number.
    """
    # A note for flammable gas and one for oxygen, for all alarms and areas together
    unruled = (
        placed
        for placed in placed_alarms(program, ledger)
        if placed.channel == FLAMMABLE or (placed.channel == OXYGEN and placed.alarm.name in ("low", "high"))
        if not (limit_keys(placed, ledger) or volume_keys(placed, ledger))
    )
    for channel, group in grouped(unruled, lambda placed: placed.channel).items():
        words = OXYGEN_WORDS if channel == OXYGEN else RISING_WORDS
        alarms = short_list(list(dict.fromkeys(words[placed.alarm.name] for placed in group)))
        yield alarm_without_rule.found(
            message=f"No rule checks the alarms of {channel_words(channel)} ({alarms}): none has a number for this "
            f"place and the work done there. Areas: {places(group)}.",
            where=group[0].alarm.value.where,
            figures=keys(*(placed.figure for placed in group)),
            source="table of rules, place "
            + ", ".join(sorted({program.place_of(placed.area).value for placed in group})),
            mend="check that these areas name all their activities; else each setpoint's reason must stand by itself",
            touches=area_references(group),
        )


IMMEDIATE = ("ceiling", "idlh")
"""Kinds that hold at every moment: an alarm that comes later than they do comes too late."""
AVERAGES = {"stel": KINDS_BY_ID["stel"].minutes, "twa": KINDS_BY_ID["twa"].minutes}
"""Minutes over which an alarm averages; any other sounds at the moment."""


@rule(Severity.STOP, Severity.WARN, about=SETPOINTS)
def limit_not_kept(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A limit of a list that counts in an area, which no alarm of that gas there keeps, though it has alarms.

    Kind counts as well as number: an alarm of the moment keeps any limit at or above it, an average only one over
    the same or a longer time. Of limits that keep one another the strictest are asked for. Source: the lists of
    limits that the site chose, and those of the area's place.
    """
    # A stop for a ceiling or what endangers life, else a warn; once for all areas in which it is the same
    found: dict[tuple[str, str, str], list[PlacedAlarm]] = {}
    for gas, alarms in _of_each_gas(program, ledger):
        for name, asked in _binding(program, alarms[0], gas, ledger.today):
            if not any(_keeps(ledger, one, gas, asked) for one in alarms):
                found.setdefault((gas, name, asked.prop), []).append(alarms[0])
    for (gas, name, kind), group in found.items():
        limit = ledger.get(EXPOSURE_LIMIT(gas=gas, list=name, kind=kind))
        called = program.library.limit_list(name).called(kind)
        value = f", {limit.printed}," if limit else ""
        figures = (limit, *(placed.figure for placed in group))
        yield limit_not_kept.of_alarms(
            group,
            f"no alarm of {program.gases[gas].name} keeps the {called}{value} though that list counts there.",
            severity=Severity.STOP if kind in IMMEDIATE and limit is not None else Severity.WARN,
            rests_on=figures,
            where=(group[0].alarm.protects or group[0].alarm.value).where,
            figures=keys(*figures),
            source=limit.source if limit else name,
            mend="set an alarm that sounds at or below it, over the same or a shorter time; where none can, say in its "
            "reason how the limit is kept",
        )


def _of_each_gas(program: Program, ledger: Ledger) -> Iterator[tuple[str, list[PlacedAlarm]]]:
    """Alarms of one area that tell of one toxic gas."""
    grouped: dict[tuple[str, str], list[PlacedAlarm]] = {}
    for placed in placed_alarms(program, ledger):
        if placed.channel not in BY_RULE:
            gases = [placed.channel] if placed.channel != VAPOUR else _gases_shown(ledger, placed)
            for gas in gases:
                grouped.setdefault((placed.area.id, gas), []).append(placed)
    yield from ((gas, alarms) for (_, gas), alarms in grouped.items() if gas in program.gases)


def _gases_shown(ledger: Ledger, placed: PlacedAlarm) -> list[str]:
    """Hazards that a vapour alarm tells of."""
    hazards = (hazard.gas.value for hazard in placed.area.hazards)
    return [gas for gas in hazards if SETPOINT_VAPOUR(area=placed.area.id, gas=gas, alarm=placed.alarm.name) in ledger]


def _binding(program: Program, placed: PlacedAlarm, gas: str, day: date) -> list[tuple[str, Published]]:
    entry = program.gases[gas].entry.id
    every = [
        (name, limit)
        for name in program.limit_lists_in(placed.area)
        for limit in program.library.limits(entry, name, day).values()
        if not limit.superseded
    ]
    kept = binding(limit for _, limit in every)
    return [(name, limit) for name, limit in every if any(limit is one for one in kept)]


def _keeps(ledger: Ledger, placed: PlacedAlarm, gas: str, limit: Published) -> bool:
    shown = ledger.get(SETPOINT_VAPOUR(area=placed.area.id, gas=gas, alarm=placed.alarm.name))
    figure = shown if placed.channel == VAPOUR and shown is not None else placed.figure
    if not same_dimension(figure.amount, limit.unit):
        return True
    there = magnitude(figure.amount, limit.unit)
    return keeps(there, AVERAGES.get(placed.alarm.name, Fraction(0)), limit)


HAZARDOUS = Fraction(10)
"""%LEL that is really there."""


@rule(Severity.STOP, Severity.WARN, acceptable=True)
def flammable_alarm_late(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A flammable alarm that sounds above a tenth of the explosive limit where no law of the place says a number.

    What is really there is compared, through the largest response factor; of the first alarm also what may be there
    where the display lies off by the error that its sensor states. Source: 29 CFR 1910.146 (b) calls more than 10
    percent of the explosive limit hazardous; that this is kept elsewhere too, less the error, is common practice,
    no source.
    """
    # A stop for the first alarm of an area, a warn for a later one, and for a first one without room
    told = {one.placed.figure.key for one in comparisons(program, ledger) if one.beyond}
    for placed in placed_alarms(program, ledger):
        if placed.channel != FLAMMABLE or placed.figure.key in told:  # told by alarm-above-limit
            continue
        shown = _worst(placed, ledger)
        if shown.rounded > HAZARDOUS:
            yield _finding_of_flammable_alarm_late(placed, shown)
        elif is_first(placed) and not (
            limit_keys(placed, ledger) or volume_keys(placed, ledger)
        ):  # else alarm-at-limit
            off = _off_by(placed) if placed.figure.rounded else None  # at nothing it is alarm-rounds-to-nothing
            if off is not None and (placed.figure.rounded + off) * _factor(placed, shown) > HAZARDOUS:
                yield flammable_alarm_late.found(
                    severity=Severity.WARN,
                    message=f"{placed.area.name}: the {placed.called} sounds at {shown.printed} really there, and no "
                    "rule gives it another bound than a tenth of the explosive limit; where the display lies off by "
                    "the error that its sensor states, more than that is there before it sounds.",
                    where=placed.alarm.value.where,
                    figures=keys(placed.figure, shown),
                    mend="set it earlier by the error of the display",
                    subject=f"area:{placed.area.id}",
                )


def _worst(placed: PlacedAlarm, ledger: Ledger) -> Figure:
    """The most that is there of any hazard when it sounds; the setpoint itself where no hazard is seen by it."""
    gases = (hazard.gas.value for hazard in placed.area.hazards)
    named = (SETPOINT_TRUE(area=placed.area.id, gas=gas, alarm=placed.alarm.name) for gas in gases)
    return max(figures_there(ledger, named), key=lambda one: one.number, default=placed.figure)


def _factor(placed: PlacedAlarm, shown: Figure) -> Fraction:
    """By how much more is there than the display shows."""
    return shown.number / placed.figure.rounded


def _off_by(placed: PlacedAlarm) -> Fraction | None:
    """By how many %LEL the display may lie off at the alarm: the most of the sensors there; ``None`` if not stated."""
    errors = errors_of(tuple(sensor for _, _, sensor in placed.fitted))
    parts = [magnitude(error.absolute.value, "%LEL") for error in errors or () if error.absolute]
    parts += [magnitude(error.relative.value, "") * placed.figure.rounded for error in errors or () if error.relative]
    return max(parts, default=None)


def _finding_of_flammable_alarm_late(placed: PlacedAlarm, shown: Figure) -> Finding:
    hot = any(given.value == "hot-work" for given in placed.area.activities)
    return flammable_alarm_late.found(
        severity=Severity.STOP if is_first(placed) else Severity.WARN,
        message=f"{placed.area.name}: when the {placed.called} sounds, {shown.printed} is there"
        + (", where flames and sparks are used." if hot else ", more than a tenth of the explosive limit."),
        where=placed.alarm.value.where,
        figures=keys(placed.figure, shown),
        source="29 CFR 1910.146 (b): more than 10 percent of the explosive limit is hazardous; elsewhere practice",
        mend="set it so that it sounds at 10 %LEL really there or below",
        subject=f"area:{placed.area.id}",
    )


LOWEST, CLEAN, HIGHEST = Fraction("19.5"), Fraction("20.9"), Fraction("23.5")
"""%vol."""


@rule(Severity.STOP, acceptable=True, source="29 CFR 1910.146 (b); elsewhere common practice")
def oxygen_alarm_outside(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """An oxygen alarm outside 19.5 to 23.5 %vol where no law of the place says a number, or one set off by clean air.

    Whoever hears it all day hears it no more. Source: 29 CFR 1910.146 (b); that both ends are kept elsewhere too is
    common practice, no source; clean dry air has 20.9 %vol of oxygen (20.95 in the standard atmosphere, ISO 2533).
    """
    # A stop for each such alarm, once for all areas
    told = {one.placed.figure.key for one in comparisons(program, ledger) if one.beyond}
    alarms = (one for one in placed_alarms(program, ledger) if one.channel == OXYGEN)
    untold = (one for one in alarms if one.figure.key not in told)  # else told by alarm-above-limit
    outside = (one for one in untold if _outside(one.alarm.name, one.figure.rounded))
    for group in grouped(outside, lambda placed: placed.alarm.value.where).values():
        yield oxygen_alarm_outside.of_alarms(
            group,
            f"the {group[0].called} is set to {group[0].figure.printed}, outside 19.5 to 23.5 %vol, or where the "
            "20.9 %vol of clean air sets it off.",
            mend="set the alarm for too little to 19.5 %vol or more, that for too much to 23.5 %vol or less, so far "
            "from 20.9 %vol that clean air sets neither off",
        )


def _outside(alarm: str, value: Fraction) -> bool:
    return not (LOWEST <= value < CLEAN if alarm == "low" else CLEAN < value <= HIGHEST)
