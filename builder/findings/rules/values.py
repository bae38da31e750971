"""Values that were not read, not read twice, or cannot be meant."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import Quantity, magnitude, quantity
from builder.base.record import dataclass
from builder.base.rounding import plain
from builder.base.where import Given
from builder.figures.ledger import Ledger
from builder.findings.alarms import SETPOINTS, PlacedAlarm, placed_alarms, protected_gas, protected_limit
from builder.findings.limit_comparisons import area_references, comparisons
from builder.findings.rule import rule
from builder.findings.wording import count_in_words, keys
from builder.program.gases import Gas
from builder.program.interval import Interval
from builder.program.models import Model
from builder.program.program import Program
from builder.program.values import UNENTERED
from builder.reference.library import LEL_BASES, Library
from builder.reference.rules import Place, place


@rule(Severity.NOTE, about=SETPOINTS)
def value_not_read(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A setpoint or its limit that rests on a value nobody read in its source.

    Such a value never decides a ``stop``, so a comparison with it proves less than it seems. Source: the reading
    state of each table.
    """
    # A note for each alarm and value, once for all areas in which it is the same
    used = [(placed.figure, placed) for placed in placed_alarms(program, ledger)]
    for compared in comparisons(program, ledger):
        used += [(figure, compared.placed) for figure in (compared.shown, compared.limit)]
    unread = (one for one in used if not one[0].read)
    for group in grouped(unread, lambda one: (one[1].alarm.value.where, one[0].printed, one[0].source)).values():
        (first, placed), alarms = group[0], [one for _, one in group]
        parts = [part.label for part in first.inputs if not part.read]
        others = len({one.area.id for one in alarms}) - 1
        same = f"; the same holds in {count_in_words(others, 'more area')}" if others else ""
        yield value_not_read.found(
            message=f"{first.label} ({first.printed}) rests on a value that was not read in its source"
            + (f": {'; '.join(parts)}{same}." if parts else f"{same}."),
            where=(placed.alarm.protects or placed.alarm.value).where,
            figures=keys(*(figure for figure, _ in group)),
            source=first.source,
            mend="read the value in its source and mark it so in the table",
            touches=area_references(alarms),
        )


@rule(Severity.NOTE)
def value_read_once(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A limit that an alarm protects and that was read in one copy only, so that a slip of that copy would pass.

    Such a value may still stop a release: only what passes by it is proved less. Source: the second reading of each
    table.
    """
    # A note for each such limit, once for all alarms of one line
    groups: dict[Given[str], list[PlacedAlarm]] = {}
    for placed in placed_alarms(program, ledger):
        value = protected_limit(program, ledger, placed)
        if value is not None and value.read_once and placed.alarm.protects is not None:
            groups.setdefault(placed.alarm.protects, []).append(placed)
    for protects, group in groups.items():
        value = protected_limit(program, ledger, group[0])
        if value is not None:
            yield value_read_once.found(
                message=f"The {group[0].called} protects {protects.value} of "
                f"{program.gases[protected_gas(group[0])].name}, {value.text} {value.unit}, read in one copy only.",
                where=protects.where,
                figures=keys(*(placed.figure for placed in group)),
                source=value.source.cited(),
                mend="read the value in its source and compare",
                touches=area_references(group),
            )


@dataclass(frozen=True, slots=True)
class Usual:
    """A value, and between what such values lie."""

    what: str
    given: Given[Quantity] | None
    least: Fraction | int
    most: Fraction | int
    unit: str
    subject: str


@rule(Severity.STOP, acceptable=True)
def value_implausible(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A value that no portable detector, hose, bottle or workplace has: most often a slip of the hand or of the unit.

    Looked at are altitude, air pressure and temperatures of the site and its areas, the length of a shift,
    response time, battery, pump, hose, log, motion alarm and delay of alarms of models, life and least oxygen of
    sensors, volume, flow and life of cylinders, the times of checks, and how long somebody is authorised. That a
    catalytic sensor needs about 10 %vol of oxygen is a rule of thumb. What the site says of a gas in place of the
    library is held against what is published: an explosive limit from half of it to a quarter above it, since a higher
    one makes every share of it too small, an ionisation energy within 0.3 eV; and no flammable gas in a bottle of air
    lies beyond its explosive limit. Source: common practice, no published source; the bounds are wide, and what lies
    beyond one has a reason.
    """
    # A stop for each
    for value in _values(program, ledger.today):
        if value.given and not value.least <= magnitude(value.given.value, value.unit) <= value.most:
            yield value_implausible.found(
                message=f"{value.what} is {value.given.text}; such values lie between "
                f"{plain(Fraction(value.least))} and {plain(Fraction(value.most))} {value.unit}.",
                where=value.given.where,
                mend="mend the number or its unit",
                subject=value.subject,
            )


def _values(program: Program, day: date) -> Iterator[Usual]:
    ambient, page = program.site.ambient, "page:program"
    yield Usual("The site's altitude", ambient.altitude, -450, 5500, "m", page)
    yield Usual("The site's air pressure", ambient.pressure, 50, 110, "kPa", page)
    yield Usual("The site's temperature", ambient.temperature, -50, 60, "°C", page)
    yield Usual("The reference temperature", program.site.basis.reference_temperature, 15, 30, "°C", page)
    yield Usual("A shift", program.site.shift, 1, 24, "h", page)
    for area in program.areas.values():
        yield Usual(f"{area.name}: temperature", area.temperature, -60, 90, "°C", f"area:{area.id}")
        yield Usual(f"{area.name}: depth", area.depth, 0, 500, "m", f"area:{area.id}")
        yield Usual(f"{area.name}: hose", area.hose, 0, 100, "m", f"area:{area.id}")
    for model in program.models.values():
        yield from _of_model(model)
    for sensor in program.sensors.values():
        yield Usual(f"{sensor.name}: its life", _days(sensor.life), 30, 3660, "days", "page:sensors")
        yield Usual(f"{sensor.name}: least oxygen", sensor.minimum_oxygen, 10, 21, "%vol", "page:sensors")
    for gas in program.gases.values():
        yield from _of_gas(gas, program.library)
    for cylinder in program.bottles:
        subject = f"cylinder:{cylinder.id}"
        yield Usual(f"Cylinder {cylinder.id}: volume", cylinder.volume, 0, 80, "L", subject)
        yield Usual(f"Cylinder {cylinder.id}: flow", cylinder.flow, 0, 10, "L/min", subject)
        for part in cylinder.components if cylinder.balance.value == "air" else ():
            lels = _lels(program.gases[part.gas.value], program.library)
            if lels:  # from there on it would burn in its bottle
                what = f"Cylinder {cylinder.id}: {program.gases[part.gas.value].name} in air"
                yield Usual(what, part.value, 0, min(lels), "%vol", subject)
        if cylinder.certified_on:
            lasting = _between(cylinder.certified_on, cylinder.expires)
            yield Usual(f"Cylinder {cylinder.id}: time since its certificate", lasting, 1, 1830, "days", subject)
        elif cylinder.expires.value > day:
            lasting = _between(Given(day, cylinder.expires.where, ""), cylinder.expires)
            yield Usual(f"Cylinder {cylinder.id}: time to its last day", lasting, 1, 1830, "days", subject)
    for person in program.people.values() if program.people else ():
        lasting = _between(person.start, person.until)
        yield Usual(f"{person.id}: time of authorisation", lasting, 1, 1830, "days", "page:people")
    for check in program.checks.values():
        yield Usual(f"{check.name}: time with gas", check.gas_time, 1, 900, "s", "page:checks")


SHARES = (Fraction(1, 2), Fraction(5, 4))
"""Of a published explosive limit, the least and the most that a site's own may be."""


def _days(life: Given[Interval]) -> Given[Quantity]:
    return Given(quantity(life.value.nominal_days, "days"), life.where, life.text)


def _between(first: Given[date], last: Given[date]) -> Given[Quantity]:
    days = (last.value - first.value).days
    return Given(quantity(days, "days"), last.where, f"{days} days")


def _of_gas(gas: Gas, library: Library) -> Iterator[Usual]:
    """What the site says of a gas instead of the library, where that publishes a value."""
    lels = _lels(gas, library)
    energies = [found.value for found in library.ionisation_energies(gas.entry.id)]
    off = Fraction(3, 10)
    bounds = {
        "lel": ("explosive limit", "%vol", [value * times for value in lels for times in SHARES]),
        "ionisation-energy": ("ionisation energy", "eV", [value + way for value in energies for way in (-off, off)]),
    }
    for name, (called, unit, ends) in bounds.items():
        if ends and name in gas.overrides:
            given = gas.overrides[name].value
            yield Usual(f"{gas.name}: its {called}", given, min(ends), max(ends), unit, f"gas:{gas.id}")


def _lels(gas: Gas, library: Library) -> list[Fraction]:
    return [found.value for basis in LEL_BASES if (found := library.lel(gas.entry.id, basis))]


def _of_model(model: Model) -> Iterator[Usual]:
    subject = f"model:{model.id}"
    for position in model.positions:
        what = f"{model.name}, sensor {position.number.value}: response time T90"
        yield Usual(what, position.t90, 1, 600, "s", subject)
    longest = 200 if model.pump or len(model.positions) > 1 else 30_000  # one cell alone takes next to nothing
    yield Usual(f"{model.name}: runtime", model.battery.runtime, 1, longest, "h", subject)
    if model.pump:
        yield Usual(f"{model.name}: flow of its pump", model.pump.flow, 0, 5, "L/min", subject)
        yield Usual(f"{model.name}: longest hose", model.pump.longest_hose, 0, 100, "m", subject)
        yield Usual(f"{model.name}: flow-block alarm", model.pump.flow_block, 0, 120, "s", subject)
    if model.hose:
        yield Usual(f"{model.name}: bore of its hose", model.hose.bore, 1, 20, "mm", subject)
        yield Usual(f"{model.name}: its hose", model.hose.length, 0, 100, "m", subject)
    if model.log:
        yield Usual(f"{model.name}: data log", model.log.capacity, 1, 20_000, "h", subject)
    if model.alarm_modes:
        yield Usual(f"{model.name}: how long an alarm waits", model.alarm_modes.delay, 0, 5, "s", subject)
    if model.lone_worker:
        yield Usual(f"{model.name}: motion alarm", model.lone_worker.motionless, 5, 600, "s", subject)


@rule(Severity.STOP, Severity.NOTE, about="page:program")
def place_list_missing(program: Program) -> Iterator[Finding]:
    """A place whose own exposure limits are not among the lists in use: not chosen, or not shipped at all.

    Source: the tables of places and of lists of limits.
    """
    # A stop where the place's list ships and is not chosen; a note where none ships and none was brought
    chosen = program.site.basis.limits
    named = {program.site.place.value: program.site.place}
    for area in program.areas.values():
        if area.place is not None:
            named.setdefault(area.place.value, area.place)
    for given in named.values():
        here = place(given.value)
        lacking = [name for name in here.lists if name not in program.limit_lists]
        if lacking:
            lists = " and ".join(program.library.limit_list(name).name for name in lacking)
            found = f"its own list, {lists}, is not among the lists of the site"
            yield _list_missing(here, chosen[0], Severity.STOP, found, f"choose {', '.join(lacking)} in basis.limits")
        elif not here.lists and not program.library.own:
            found = "no list of its own ships, so alarms are held against other lists alone"
            yield _list_missing(
                here, given, Severity.NOTE, found, "bring the place's list (lists/*.yaml) and choose it"
            )


def _list_missing(here: Place, given: Given[str], severity: Severity, found: str, mend: str) -> Finding:
    return place_list_missing.found(
        severity=severity,
        message=f"Exposure limits of {here.name}: {found}.",
        where=given.where,
        source="table of places: " + here.note.rstrip("."),
        mend=mend,
    )


@rule(Severity.STOP, about="page:findings")
def default_not_confirmed(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Values that came with a starter and that nobody at the site has confirmed, or entered at all.

    Source: common practice, no source: what protects people is chosen by a competent person who knows the place.
    """
    # A stop for each entry of confirm.yaml without name and day, or with a day to come, for entries that are gone, and
    # for each file with gaps
    for one in program.confirmations:
        early = one.on is not None and one.on.value > ledger.today
        if early or not one.confirmed:
            told = "the day it was confirmed is still to come" if early else "they came with the starter"
            yield default_not_confirmed.found(
                message=f"Nobody at this site has confirmed {one.what.value}: {told}.",
                where=one.where,
                source="common practice: what protects people is chosen by a competent person of the site",
                mend=f"compare them with {one.against.value}, then enter by and on in confirm.yaml",
            )
    wanted, there = program.site.to_confirm, len(program.confirmations)
    if wanted is not None and there < wanted.value:
        yield default_not_confirmed.found(
            message=f"Of {wanted.value} entries that came with the starter confirm.yaml has {there or 'none'}: nobody "
            "at this site has confirmed what the others name.",
            where=wanted.where,
            source="common practice: what protects people is chosen by a competent person of the site",
            mend="put them back as handbook start writes them, signed; to-confirm counts less only by what is not here",
        )
    for gaps in grouped(program.unentered, lambda where: where.file).values():
        yield default_not_confirmed.found(
            message=f"Nobody has entered {', '.join(dict.fromkeys(program.unentered[gap] for gap in gaps))} here yet.",
            where=gaps[0],
            source="common practice: nobody can act on a text that only holds a place",
            mend=f"write what belongs there wherever the file says “{UNENTERED}”",
        )
