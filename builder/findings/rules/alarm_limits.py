"""Alarms held against the exposure limits that they protect."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.findings import alarms as placing
from builder.findings.limit_comparisons import LimitComparison, area_references, comparisons, places
from builder.findings.rule import rule
from builder.findings.wording import keys
from builder.program.keys.families import SETPOINT_ERROR, SETPOINT_LESS_ERROR, SETPOINT_PROTECTS
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN
from builder.reference.limits import KINDS_BY_ID
from builder.reference.rules import law_elsewhere, place


@rule(Severity.STOP, Severity.WARN)
def alarm_above_limit(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """An alarm that is still silent in hazardous air: what is there when it sounds lies beyond the limit it must keep.

    Compared is the value really set, with the response factor applied back. A flammable alarm that is not the first
    to sound only warns. The first alarm of a toxic gas is compared with both. Source: the strictest rule of the
    place and activities (rules table), or the exposure limit the alarm names.
    """
    # A stop for each alarm beyond a limit that was read in its source; limits and areas come together
    beyond = (compared for compared in comparisons(program, ledger) if compared.beyond)
    groups = grouped(beyond, lambda one: (one.placed.alarm.value.where, one.placed.area.id, one.gas, one.shown.key))
    ordered = (sorted(group, key=lambda compared: _severity(compared)[0].rank) for group in groups.values())
    for same in grouped(ordered, lambda group: (group[0].placed.alarm.value.where, _told(group))).values():
        compared = same[0][0]
        firsts = [group[0] for group in same]
        yield alarm_above_limit.found(
            severity=_severity(compared)[0],
            message=f"{places(firsts)}: {_told(same[0])}",
            where=compared.placed.alarm.value.where,
            figures=keys(*(f for group in same for one in group for f in (one.placed.figure, one.shown, one.limit))),
            source=compared.limit.source,
            mend=f"set it {'higher' if compared.falling else 'lower'}, so that it sounds before the limit is passed",
            touches=area_references(firsts),
        )


def _told(group: list[LimitComparison]) -> str:
    """What is wrong with one alarm in one area, but for the area's name; the gravest limit comes first."""
    compared = group[0]
    silent = " (it is silent at its setpoint itself)" if compared.equal else ""
    limits = list(dict.fromkeys(one.limit.printed for one in group))
    beyond = f"the limit, {limits[0]}" if len(limits) == 1 else f"the limits, {' and '.join(limits)}"
    caveat = _severity(compared)[1]
    return f"the {compared.placed.called} {compared.sounds_at}{silent}, which lies beyond {beyond}.{caveat}"


def _severity(compared: LimitComparison) -> tuple[Severity, str]:
    """A later flammable alarm warns: the first one has sounded by then."""
    placed = compared.placed
    if placed.channel == FLAMMABLE and placed.alarm.name != "low" and placed.entry.alarm("low") is not None:
        return Severity.WARN, ""
    if compared.proved:
        return Severity.STOP, ""
    return Severity.WARN, " This only warns: the comparison rests on a value that was not read in its source."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Near:
    """One alarm without room for the error."""

    placed: placing.PlacedAlarm
    limit: Figure | None
    error: Figure | None
    """``None`` where it is not known."""
    last: Figure | None
    """The last setting that keeps the limit; ``None`` where there is none, or the error is not known.

    The alarm itself where that is made of another limit than the one at which it stands.
    """
    sounds_at: str

    def alike(self) -> tuple[Where, str, str]:
        """What it has in common with the same alarm in other areas."""
        return self.placed.alarm.value.where, self.sounds_at, self.last.printed if self.last else ""


@rule(Severity.WARN, about=placing.SETPOINTS)
def alarm_at_limit(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """An alarm that stands at its limit, or nearer to it than the display may lie off, so that it can sound too late.

    The instrument's error is what its sensor states (``error``); it is taken off the limit, after the response
    factor, and of too little oxygen it is added. Where no error is stated, what is told is an alarm exactly at its
    limit. Source: common practice; an alarm set at the legal value does not protect it.
    """
    # A warn for each such alarm that is not beyond its limit, once for all areas in which it is the same
    every = list(comparisons(program, ledger))
    beyond = {compared.placed.figure.key for compared in every if compared.beyond}  # told by alarm-above-limit
    equal = {compared.placed.figure.key: compared for compared in every if compared.equal}
    kept = (one for one in placing.placed_alarms(program, ledger) if one.figure.key not in beyond)
    nears = (near for one in kept if (near := _near(ledger, one, equal.get(one.figure.key))))
    for group in grouped(nears, _Near.alike).values():
        near, placed = group[0], group[0].placed
        limits = " and ".join(dict.fromkeys(one.limit.printed for one in group if one.limit is not None))
        words, mend = _words(near)
        alarms = [one.placed for one in group]
        yield alarm_at_limit.of_alarms(
            alarms,
            f"the {placed.called} {near.sounds_at}, and its limit is {limits}: {words}",
            figures=keys(*(figure for one in group for figure in (one.placed.figure, one.limit, one.error, one.last))),
            mend=mend,
        )


def _near(ledger: Ledger, placed: placing.PlacedAlarm, equal: LimitComparison | None) -> _Near | None:
    """The alarm where it has too little room.

    :param equal: its comparison with a limit at which it stands exactly.
    """
    part = {"area": placed.area.id, "channel": placed.channel, "alarm": placed.alarm.name}
    error, last = ledger.get(SETPOINT_ERROR(**part)), ledger.get(SETPOINT_LESS_ERROR(**part))
    if error is None and equal is None:
        return None
    if last is not None and not _later(placed, last):
        if equal is None:
            return None
        return _Near(placed=placed, limit=equal.limit, error=error, last=placed.figure, sounds_at=equal.sounds_at)
    return _Near(
        placed=placed,
        limit=_limit(ledger, placed, last) or (equal.limit if equal else None),
        error=error,
        last=last,
        sounds_at=equal.sounds_at if equal else f"is set to {placed.figure.printed}",
    )


def _later(placed: placing.PlacedAlarm, last: Figure) -> bool:
    """Whether an alarm sounds later than the last setting that keeps its limit."""
    if placed.channel == OXYGEN and placed.alarm.name == "low":
        return placed.figure.rounded < last.rounded
    return placed.figure.rounded > last.rounded


def _limit(ledger: Ledger, placed: placing.PlacedAlarm, last: Figure | None) -> Figure | None:
    """The limit that the last setting is made of; of an alarm that has none left, the one it protects."""
    asked = (part.figure for part in last.inputs if part.parameter == "limit") if last else iter(())
    return ledger.get(next(asked, SETPOINT_PROTECTS.on(placed.figure.key)))


def _words(near: _Near) -> tuple[str, str]:
    """What is wrong with its room, and how to mend it."""
    if near.error is None:
        told = "no room is left for the instrument's error, which is not known."
        return told, "state the error of the sensor from the manual of the detector, and set the alarm earlier by it"
    if near.last is near.placed.figure:
        told = f"no room is left for the {near.error.printed} that the display may lie off."
        return told, "set the alarm earlier by that much"
    lies = f"the display may lie off by {near.error.printed}, so it can sound too late"
    if near.last is None or near.last.rounded <= 0:
        return f"{lies}, and no setting keeps the limit.", "use a sensor with a smaller error for this limit"
    return f"{lies}. With the error taken off, {near.last.printed} keeps the limit.", f"set it to {near.last.printed}"


@rule(Severity.STOP, source="lists of exposure limits of the reference library")
def limit_missing(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """An alarm naming an exposure limit that cannot be compared: no such value, or no factor of the sensor for its gas.

    Nor is a value compared that a newer edition has replaced by a number nobody read. Source: the lists of exposure
    limits of the reference library.
    """
    # A stop: an alarm that protects nothing known is not shown to be safe
    for placed in placing.placed_alarms(program, ledger):
        if placed.alarm.protects is None:
            continue
        named = f"{placed.alarm.protects.value} of {program.gases[placing.protected_gas(placed)].name}"
        if ledger.get(placing.protects_key(placed)) is None:
            yield _limit_missing(
                placed, f"{named}, but that list has no such limit in force", "name one that is in force"
            )
        elif (value := placing.protected_limit(program, ledger, placed)) is not None and value.superseded:
            told = f"{named}, but {value.text} {value.unit} is superseded: {value.superseded}"
            yield _limit_missing(placed, told, "name another limit, or bring the new value (lists/*.yaml)")
        elif placing.protected_factor(placed) is None:
            told = f"{named}, but a sensor there has no factor for that gas"
            yield _limit_missing(placed, told, "give its factor (factors in sensors.yaml), or protect what it shows")


def _limit_missing(placed: placing.PlacedAlarm, what: str, mend: str) -> Finding:
    return limit_missing.found(
        message=f"{placed.area.name}: the {placed.called} is said to protect {what}.",
        where=placed.alarm.protects.where if placed.alarm.protects else placed.alarm.value.where,
        figures=keys(placed.figure),
        mend=mend,
        subject=f"area:{placed.area.id}",
    )


@rule(Severity.STOP, Severity.WARN, source="tables of places and of lists of limits")
def limit_of_another_place(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """An alarm naming a limit that is the law of another place than the one its area lies in.

    Construction, shipyards and general industry have numbers and kinds of their own for one gas. Source: the tables
    of places and of lists of limits; 29 CFR 1910.1000, 1915.1000 and 1926.55.
    """
    # A stop where a list of the area's own place has a limit of that gas, else a warn; once for all areas
    groups: dict[tuple[Given[str], str], list[placing.PlacedAlarm]] = {}
    for placed in placing.placed_alarms(program, ledger):
        protects, here = placed.alarm.protects, program.place_of(placed.area).value
        if protects is not None and protects.value.partition(".")[0] in law_elsewhere(here):
            groups.setdefault((protects, here), []).append(placed)
    for (protects, here), group in groups.items():
        own = _own_limits(program, ledger, here, placing.protected_gas(group[0]))
        named = program.library.limit_list(protects.value.partition(".")[0]).name
        instead = (
            f"; its own has {', '.join(own)}" if own else ", whose own list does not ship or has no limit of that gas"
        )
        yield limit_of_another_place.of_alarms(
            group,
            f"the {group[0].called} protects {protects.value}, a limit of {named}, which is not the law of "
            f"{place(here).name}{instead}.",
            severity=Severity.STOP if own else Severity.WARN,
            where=protects.where,
            mend="name a limit of the place's own list, or a recommendation, or bring the place's list (lists/*.yaml)",
        )


def _own_limits(program: Program, ledger: Ledger, here: str, gas: str) -> list[str]:
    """Limits to work to that the place's own lists have of a gas, in words."""
    day, entry = ledger.today, program.gases[gas].entry.id
    return [
        f"{program.library.limit_list(name).called(kind)} {value.text} {value.unit}"
        for name in place(here).lists
        for kind, value in program.library.limits(entry, name, day).items()
        if KINDS_BY_ID[kind].to_work_to
    ]


@rule(Severity.WARN)
def protects_no_hazard(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """An alarm that is said to protect a gas which is no hazard of its area: the limit beside it is of nothing there.

    Whoever reads the card is told of a gas that nobody expects. Whether the alarm comes early enough for what is there
    is told by ``toxic-on-other-channel``. Source: common practice, no published source.
    """
    # A warn for each such alarm, once for all areas
    groups: dict[Given[str], list[placing.PlacedAlarm]] = {}
    for placed in placing.placed_alarms(program, ledger):
        named, area = placed.alarm.protects_gas, placed.area
        if named and not area.hazard(named.value) and all(named.value not in one.parts for one in area.mixtures):
            groups.setdefault(named, []).append(placed)
    for named, alarms in groups.items():
        gas = program.gases[named.value].name
        yield protects_no_hazard.of_alarms(
            alarms,
            f"the {alarms[0].called} is said to protect {gas}, which is no hazard there.",
            where=named.where,
            mend="name a gas that can be there, and whose limit the alarm keeps; or name this one as a hazard",
        )
