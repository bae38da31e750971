"""A limit of a list that counts in an area, which no alarm of that gas there keeps, though it has alarms.

Kind counts as well as number: an alarm of the moment keeps any limit at or above it, an average only one over the same
or a longer time. Of limits that keep one another the strictest are asked for. Source: the lists of limits that the site
chose, and those of the area's place.
"""

from collections.abc import Iterable, Iterator
from datetime import date
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude, same_dimension
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.findings.alarms import SETPOINTS, PlacedAlarm, area_references, placed_alarms, places
from builder.findings.wording import keys, severity_allowed
from builder.program.keys.families import AS_OF, EXPOSURE_LIMIT, SETPOINT_VAPOUR
from builder.program.program import Program
from builder.program.sensors import VAPOUR
from builder.program.setpoints import BY_RULE
from builder.reference.limits import KINDS_BY_ID, binding, keeps
from builder.reference.published import Published

ID = "limit-not-kept"
SEVERITIES = (Severity.STOP, Severity.WARN)
IMMEDIATE = ("ceiling", "idlh")
"""Kinds that hold at every moment: an alarm that comes later than they do comes too late."""
AVERAGES = {"stel": KINDS_BY_ID["stel"].minutes, "twa": KINDS_BY_ID["twa"].minutes}
"""Minutes over which an alarm averages; any other sounds at the moment."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for a ceiling or what endangers life, else a ``warn``; once for all areas in which it is the same."""
    program, ledger = computed.program, computed.ledger
    day = ledger.day(AS_OF())
    found: dict[tuple[str, str, str], list[PlacedAlarm]] = {}
    for group in _of_each_gas(program, ledger):
        gas, alarms = group
        for name, limit in _binding(program, alarms[0], gas, day):
            if not any(_keeps(ledger, one, gas, limit) for one in alarms):
                found.setdefault((gas, name, limit.prop), []).append(alarms[0])
    for (gas, name, kind), first in found.items():
        yield _finding(program, ledger, gas, name, kind, first)


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


def _finding(program: Program, ledger: Ledger, gas: str, name: str, kind: str, first: Iterable[PlacedAlarm]) -> Finding:
    group = list(first)
    limit = ledger.get(EXPOSURE_LIMIT(gas=gas, list=name, kind=kind))
    called = program.library.limit_list(name).called(kind)
    value = f", {limit.printed}," if limit else ""
    weighed = Severity.STOP if kind in IMMEDIATE and limit is not None else Severity.WARN
    severity, caveat = severity_allowed(weighed, limit, *(placed.figure for placed in group))
    return Finding(
        rule=ID,
        severity=severity,
        message=f"{places(group)}: no alarm of {program.gases[gas].name} keeps the {called}{value} though that list "
        f"counts there.{caveat}",
        where=(group[0].alarm.protects or group[0].alarm.value).where,
        figures=keys(limit, *(placed.figure for placed in group)),
        source=limit.source if limit else name,
        mend="set an alarm that sounds at or below it, over the same or a shorter time, or state why not",
        subject=SETPOINTS,
        touches=area_references(group),
    )
