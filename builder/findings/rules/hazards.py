"""Hazards of an area that nothing sees, or not early enough."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import magnitude
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.seen_table import SeenRow, Shows, seen_everywhere
from builder.findings.sensor_coverage import (
    ACUTE,
    ENTRY_SOURCE,
    MUCH,
    alarms_wanted,
    carried_words,
    kind_of,
    seers,
    toxic_limits,
    weightiest,
)
from builder.findings.wording import COMMON_PRACTICE, channel_words, keys, short_list
from builder.program.areas import Area, Hazard
from builder.program.gases import OXYGEN_GAS
from builder.program.keys.families import GAS_LEL, OXYGEN_DISPLACED
from builder.program.mixtures import Mixture
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN


@rule(Severity.STOP, Severity.WARN)
def toxic_by_lel_only(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A toxic hazard that a set shows only as a share of the explosive limit, with a first alarm that comes too late.

    A few percent of an explosive limit are hundreds of parts per million. The first alarm is taken back through the
    response factor and compared with every limit of the lists the site chose. A gas or mixture of the site's own, as
    vapour of petrol, of which they have none, is not known to be none. Source: those lists; that an explosive-limit
    reading is no toxic measurement is common practice, no source.
    """
    # One an area and gas: a stop beyond a limit of minutes or what endangers life, else a warn
    rows = [row for row in seen_everywhere(program, ledger) if row.seen.only_by_lel and row.alarms]
    unknown = (row for row in rows if program.gases[row.seen.gas].own and not row.limits)
    for row, *_ in grouped(unknown, lambda row: (row.seen.area.id, row.seen.gas)).values():
        yield _without_limits(program, row)
    late = (row for row in rows if row.passed)
    for group in grouped(late, lambda row: (row.seen.area.id, row.seen.gas)).values():
        seen, passed, first = group[0].seen, group[0].passed, group[0].alarms[0]
        worst = weightiest(passed)
        gas = program.gases[seen.gas].name
        carried = " or with ".join(carried_words(program, one.seen.carried) for one in group)
        named = "; ".join(f"{limit.label} {limit.printed}" for limit in passed)
        yield toxic_by_lel_only.found(
            severity=Severity.STOP if kind_of(worst) in ACUTE else Severity.WARN,
            rests_on=(first.there, worst),
            message=f"{seen.area.name}: with {carried} {gas} shows only as a share of its explosive "
            f"limit. When the first alarm sounds at {first.set_to.printed}, {first.there.printed} of it are there, "
            f"beyond: {named}.",
            where=seen.hazard.gas.where,
            figures=keys(first.there, *passed),
            source=worst.source,
            mend=f"carry a detector that shows {gas} in ppm as well",
            subject=f"area:{seen.area.id}",
        )


def _without_limits(program: Program, row: SeenRow) -> Finding:
    return toxic_by_lel_only.found(
        severity=Severity.WARN,
        message=f"{row.seen.area.name}: {program.gases[row.seen.gas].name} shows only as a share of its explosive "
        "limit, and no list of the site has a limit of it: whether it poisons before the first alarm is not known.",
        where=row.seen.hazard.gas.where,
        figures=keys(row.alarms[0].set_to),
        source=COMMON_PRACTICE,
        mend="bring its limits, or those of its worst part, as a list (lists/*.yaml), and carry what shows it in ppm",
        subject=f"area:{row.seen.area.id}",
    )


@rule(Severity.STOP, Severity.WARN)
def toxic_on_other_channel(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A toxic hazard that shows on the channel of another gas, with a first alarm that comes after its own limits.

    The number on the display is that of the other gas. It is taken through the response factor and compared with
    the limits of the hazard itself; where its lists have none, nothing shows that the alarm protects anybody.
    Source: the lists of exposure limits that the site chose.
    """
    # A stop beyond a short-term limit or the value dangerous to life, else a warn; one an area and gas
    indirect = (
        row
        for row in seen_everywhere(program, ledger)
        if row.shows in (Shows.VAPOUR, Shows.OTHER) and row.seen.gas not in row.seen.channels
        if row.alarms and (row.passed or not row.limits)
    )
    for row, *_ in grouped(indirect, lambda row: (row.seen.area.id, row.seen.gas)).values():
        gas, passed, first = program.gases[row.seen.gas].name, row.passed, row.alarms[0]
        worst = weightiest(passed) if passed else None
        beyond = "; ".join(f"{limit.label} {limit.printed}" for limit in passed)
        told = f"beyond: {beyond}" if passed else "and the lists of this site have no limit to compare it with"
        yield toxic_on_other_channel.found(
            severity=Severity.STOP if worst is not None and kind_of(worst) in ACUTE else Severity.WARN,
            rests_on=(first.there, worst),
            message=f"{row.seen.area.name}: {gas} shows only on a channel meant for another gas. When its first alarm "
            f"sounds at {first.set_to.printed}, {first.there.printed} of {gas} are there, {told}.",
            where=row.seen.hazard.gas.where,
            figures=keys(first.set_to, first.there, *passed),
            source=worst.source if worst is not None else "the lists of exposure limits that the site chose",
            mend=f"set the first alarm low enough for {gas} too, or carry a detector with a sensor of its own for it",
            subject=f"area:{row.seen.area.id}",
        )


@rule(Severity.STOP, Severity.WARN, source="29 CFR 1910.146 (c)(5) and (d)(5): test for the hazards that are expected")
def hazard_unseen(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """A hazard of an area that no allowed detector sees.

    An inert gas (nitrogen, argon, helium) counts as seen where oxygen is measured; a gas to which a sensor is said
    to be blind does not count. A gas that is no hazard by itself, but a tenth or more of a mixture there, warns; and so
    does one, seen or not, whose limit is used up before those of all other parts, as benzene's in vapour of petrol.
    A gas with limits that is named only where it is said why oxygen is short, as carbon dioxide, warns too: it poisons
    long before oxygen tells of it.
    Source: the site's own hazards and sensors; 29 CFR 1910.146 (c)(5) and (d)(5) ask for tests of the hazards
    expected.
    """
    # A stop for each hazard, a warn for each part of a mixture
    asked = [(hazard.gas.value, hazard.gas.where, "", Severity.STOP) for hazard in area.hazards]
    yield from _only_in_words(program, ledger, area)
    for mixture in area.mixtures:
        much = (gas for gas, part in mixture.parts.items() if magnitude(part.highest.value, "%") >= MUCH)
        unnamed = (gas for gas in much if area.hazard(gas) is None)
        asked += [(gas, mixture.where, f", a part of {mixture.name}", Severity.WARN) for gas in unnamed]
        yield from _poison_within(program, ledger, area, mixture)
    for gas, where, part, severity in asked:
        if not seers(program, area, gas):
            yield hazard_unseen.found(
                severity=severity,
                message=f"{area.name}: no detector allowed there sees {program.gases[gas].name}{part}.",
                where=where,
                mend="allow a detector that sees it, or give a sensor its factor (factors in sensors.yaml)",
            )


def _poison_within(program: Program, ledger: Ledger, area: Area, mixture: Mixture) -> Iterator[Finding]:
    """The part of a mixture that poisons first, where it is no hazard by itself: then nothing is held against it."""
    used_up = [
        (magnitude(limit.amount, "ppm") / share, gas, limit)
        for gas, part in mixture.parts.items()
        if (share := magnitude(part.highest.value, "%"))
        for limit in toxic_limits(program, ledger, area, gas)
        if limit.read
    ]
    _, gas, limit = min(used_up, key=lambda one: one[0], default=(0, OXYGEN_GAS, None))
    if limit and area.hazard(gas) is None:
        name, most = program.gases[gas].name, mixture.parts[gas].highest.text
        yield hazard_unseen.found(
            severity=Severity.WARN,
            message=f"{area.name}: of {mixture.name}, up to {most} is {name}, which is no hazard there by itself. "
            f"{limit.label}, {limit.printed}, is used up before those of its other parts, and no alarm is held "
            "against it.",
            where=mixture.where,
            figures=keys(limit),
            source=limit.source,
            mend=f"name {name} as a hazard of the area, and carry what shows it in ppm",
        )


def _only_in_words(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """Gases with limits that push the oxygen out by what its hazard says, and that are no hazard themselves."""
    there = {program.gases[hazard.gas.value].entry.id for hazard in area.hazards}
    for why in (one.why for one in area.hazards if "low" in alarms_wanted(program, one)):
        for gas in program.library.named_in(why.value):
            if gas not in there and program.library.has_limits(gas):
                name, other = program.library.gas(gas).name, ledger[OXYGEN_DISPLACED()]
                yield hazard_unseen.found(
                    severity=Severity.WARN,
                    message=f"{area.name}: too little oxygen is said to come from {name}, which is no hazard there. "
                    f"For each percent of oxygen that is gone {other.printed} of it can be there, and no alarm is "
                    "held against its limits.",
                    where=why.where,
                    figures=keys(other),
                    source=COMMON_PRACTICE,
                    mend=f"name {name} as a hazard of the area, and carry what shows it: oxygen is no stand-in for it",
                )


@rule(Severity.STOP, Severity.WARN)
def hazard_without_alarm(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """A hazard that a detector sees, or a gas that it measures, for which no alarm is set in that area.

    A time-weighted alarm alone does not count: it says nothing at the door. Oxygen needs its alarm for too little
    where that is the risk, its alarm for too much where that is; a toxic gas that shows in ppm too needs one there.
    What is measured and is no hazard sounds all the same, at what the unit happens to be set to, and no card says what
    to do; in a confined space too little oxygen and flammable gas are never left out, whatever the survey found.
    Source: common practice; 29 CFR 1910.146 (c)(5)(ii)(C) names oxygen and flammable gases of every permit space.
    """
    # A stop for each hazard; for what is no hazard one an area: a stop for oxygen and flammable gas where people go in
    told: set[str] = set()
    for hazard in area.hazards:
        channels = {sensor.channel.value for _, _, sensor in seers(program, area, hazard.gas.value)}
        if len(channels) > 1 and toxic_limits(program, ledger, area, hazard.gas.value):
            channels.discard(FLAMMABLE)
        lacking = _lacking_of_hazard_without_alarm(program, area, hazard, channels)
        if channels and lacking:
            told |= channels
            yield hazard_without_alarm.found(
                severity=Severity.STOP,
                message=f"{area.name}: {program.gases[hazard.gas.value].name} is seen by the "
                f"{' and '.join(sorted(channels))} channel, but no {lacking} alarm is set there.",
                where=hazard.gas.where,
                mend=f"set a {lacking} alarm of that channel for this area",
            )
    yield from _measured_in_vain(program, area, told)


def _measured_in_vain(program: Program, area: Area, told: set[str]) -> Iterator[Finding]:
    """Channels without an alarm that no hazard told of, all of them as one finding."""
    set_there = {one: entry.alarms for one in program.channels_in(area) if (entry := program.setpoint(area.id, one))}
    unset = [one for one in program.channels_in(area) if one not in set_there and one not in told]
    if area.entered and OXYGEN in set_there.keys() - told and "low" not in set_there[OXYGEN]:
        unset = [OXYGEN, *unset]
    vital = area.entered and not {OXYGEN, FLAMMABLE}.isdisjoint(unset)
    if unset:
        yield hazard_without_alarm.found(
            severity=Severity.STOP if vital else Severity.WARN,
            message=f"{area.name}: no alarm is set for {' and '.join(map(channel_words, unset))}, which detectors "
            "carried there measure: they sound at what they happen to be set to, and no card says what to do.",
            where=area.where,
            source=ENTRY_SOURCE if vital else COMMON_PRACTICE,
            mend="set its alarms for this area, or carry a detector without that sensor",
        )


def _lacking_of_hazard_without_alarm(program: Program, area: Area, hazard: Hazard, channels: set[str]) -> str:
    entries = (program.setpoint(area.id, channel) for channel in sorted(channels))
    found = {name for entry in entries if entry for name in entry.alarms}
    wanted = alarms_wanted(program, hazard)
    if wanted:
        return " or ".join(name for name in wanted if name not in found)
    return "" if found & {"low", "high"} else "low or high"


BY_GAS = {OXYGEN_GAS: "oxygen", "hydrogen-sulfide": "hydrogen sulfide", "carbon-monoxide": "carbon monoxide"}


@rule(Severity.WARN, acceptable=True, source="29 CFR 1910.146, appendix E (2), not mandatory")
def sewer_hazard_missing(ledger: Ledger, area: Area) -> Iterator[Finding]:
    """A sewer that people enter, without one of the gases that whoever goes in is to be warned of.

    Source: 29 CFR 1910.146, appendix E (2), not mandatory: the detector warns of oxygen, flammable gas, hydrogen
    sulfide and carbon monoxide. What is no hazard of an area is held against no limit there.
    """
    lacking = [called for gas, called in BY_GAS.items() if area.hazard(gas) is None]
    if not any(ledger.get(GAS_LEL(gas=hazard.gas.value)) for hazard in area.hazards):
        lacking.append("a flammable gas")
    if "sewer-entry" in area.doing and lacking:
        verb = "is" if len(lacking) == 1 else "are"
        yield sewer_hazard_missing.found(
            message=f"{area.name}: it is a sewer, but {short_list(lacking)} {verb} not among "
            "its hazards. No alarm and no card is judged for it.",
            where=area.where,
            mend="name it as a hazard, or say by name why it cannot be there",
        )
