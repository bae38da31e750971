"""Whether the records show that a unit was fit on one day before its first use, and what they do not show."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from itertools import pairwise

from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.figures.figure import day_text, moment_text
from builder.figures.formulas import clock
from builder.figures.logbook.counted_days import Rhythm
from builder.figures.logbook.fitness_found import Fitness
from builder.figures.logbook.states import AWAY, of_moment, on
from builder.figures.logbook.units import RANK, Episode, UnitLog, counts_from
from builder.figures.topics.readback import age_of
from builder.program.checks import WITH_GAS
from builder.program.inventory import HIRED, USED_STATES, Unit
from builder.program.program import Program
from builder.program.records import Person, Record

CALIBRATION = "calibration"


def fit_on(computed: Computed, unit: Unit, day: date) -> Fitness:
    """What the records of a program show of a unit on a day; records after it count for nothing."""
    program, log = computed.program, computed.logbook.units.get(unit.id)
    first = next((r for r, _ in (log.entries if log else ()) if r.kind.value == "use" and r.day == day), None)
    until = _until(first)
    sensors = dict.fromkeys(position.sensor.value for position in program.models[unit.model.value].positions)
    stays = computed.logbook.stays[unit.id]
    fitted = {sensor: put for sensor, put in unit.fitted_on.items() if put <= day}
    tests, calibrations = (
        {
            sensor: record if record and fitted.get(sensor, record.day) <= record.day else None
            for sensor, record in _last_good(log, kinds, sensors, day, until).items()
        }
        for kinds in (WITH_GAS, (CALIBRATION,))
    )
    tested = max((found for found in tests.values() if found), key=lambda record: record.time.value, default=None)
    calibrated, by = _calibrated(unit, program, log, calibrations, day)
    bottle = tested.cylinder.value if tested and tested.cylinder else ""
    known = program.cylinders.get(bottle)
    found = Fitness(
        unit=unit,
        day=day,
        stays=of_moment(stays, first.time.value) if first else on(stays, day),
        first_use=first,
        tested=tested,
        calibrated=calibrated,
        calibrated_by=by,
        good_through=_good_through(computed, unit, calibrated, day),
        bottle=bottle,
        bottle_until=known.expires.value if known else None,
        settings_read=max((read for read in computed.logbook.read_back.get(unit.id, ()) if read <= day), default=None),
        faults=tuple(one for one in (log.episodes if log else ()) if _is_open(one, day, until)),
        person=(program.people or {}).get(first.by.value) if first and first.by else None,
        against=(),
        unknown=(),
    )
    return _judged(computed, found, tests)


def _until(first: Record | None) -> datetime | None:
    """The moment of the first use; ``None`` for the end of the day, where no hour is told."""
    return first.time.value if first and first.time.value.time() != time.min else None


def _in_time(record: Record, day: date, until: datetime | None) -> bool:
    return record.time.value <= until if until else record.day <= day


def _last_good(
    log: UnitLog | None, kinds: Collection[str], sensors: Mapping[str, None], day: date, until: datetime | None
) -> Mapping[str, Record | None]:
    """The last good check of one of these kinds, by sensor; a changed sensor has none."""
    made: dict[str, Record | None] = {}
    for record, verdict in reversed(log.entries if log else ()):
        if made.keys() >= sensors.keys():
            break
        changed = record.kind.value == "sensor-change"
        if (changed or (verdict.good and record.kind.value in kinds)) and _in_time(record, day, until):
            for name in (record.sensor.value,) if changed and record.sensor else verdict.sensors:
                made.setdefault(name, None if changed else record)
    return {name: made.get(name) for name in sensors}


def _calibrated(
    unit: Unit, program: Program, log: UnitLog | None, found: Mapping[str, Record | None], day: date
) -> tuple[date | None, Record | None]:
    """The oldest of the last calibrations of all sensors, or the inventory's day where no record tells of any.

    That day tells nothing of a sensor that was put in later.
    """
    records = [record for record in found.values() if record]
    if records and len(records) == len(found):
        oldest = min(records, key=lambda record: record.time.value)
        return oldest.day, oldest
    if records:
        return None, None
    days = [given.value for check, given in unit.last.items() if program.checks[check].kind == CALIBRATION]
    told = min(days, default=None)
    changes = [record.day for record, _ in (log.entries if log else ()) if record.kind.value == "sensor-change"]
    replaced = told and any(told < put <= day for put in (*unit.fitted_on.values(), *changes))
    return (told if told and told <= day and not replaced else None), None


def _good_through(computed: Computed, unit: Unit, calibrated: date | None, day: date) -> date | None:
    if calibrated is None:
        return None
    rhythm = Rhythm(program=computed.program, book=computed.logbook, as_of=day)
    ends = [
        rhythm.due(unit, asked.interval.value, calibrated)
        for check in computed.program.checks.values()
        if check.kind == CALIBRATION
        for asked in check.asked_of(unit)
        if not asked.interval.value.each_day_of_use
    ]
    return min(ends, default=None)


def _is_open(episode: Episode, day: date, until: datetime | None) -> bool:
    cleared = episode.cleared is not None and _in_time(episode.cleared, day, until)
    return _in_time(episode.first[0], day, until) and not cleared


def clock_text(record: Record) -> str:
    """When a row was made, by the clock it was written with, as in ``21 Sep 2026, 08:15``."""
    return moment_text(record.time.value)


# ---- judging -------------------------------------------------------------------------


def _judged(computed: Computed, found: Fitness, tests: Mapping[str, Record | None]) -> Fitness:
    against = (
        *_against_state(computed.program, found),
        *_against_return(computed, found),
        *_against_checks(computed, found, tests),
    )
    unknown = (*_unknown_where(found), *_unknown_checks(computed, found, tests), *_unknown_rest(computed, found))
    return replace(found, against=against, unknown=unknown)


def _against_state(program: Program, found: Fitness) -> Iterator[str]:
    if found.stays and all(stay.state not in USED_STATES for stay in found.stays):
        states = " and ".join(dict.fromkeys(stay.state.replace("-", " ") for stay in found.stays))
        yield f"its state was {states}"
    for stay in found.stays:
        last = stay.certificate_until.value if stay.certificate_until else None
        if stay.state == HIRED and last is not None and last < found.day:
            yield f"its owner's certificate held until {day_text(last)}"
        if stay.state in USED_STATES and stay.area:
            asked = {model.id for model in program.models_in(program.areas[stay.area])}
            if found.unit.model.value not in asked:
                yield f"{program.areas[stay.area].name} asks for another model"
    for episode in found.faults:
        record = episode.first[0]
        yield f"its {record.kind.value.replace('-', ' ')} failed on {day_text(record.day)} and no good check followed"


def _against_return(computed: Computed, found: Fitness) -> Iterator[str]:
    """A return from where a unit is not used, after which nothing showed every sensor good in time."""
    log, until = computed.logbook.units.get(found.unit.id), _until(found.first_use)

    def in_time(at: datetime) -> bool:
        return at <= until if until else at.date() <= found.day

    for before, stay in pairwise(computed.logbook.stays[found.unit.id]):
        since = before.start if isinstance(before.start, datetime) else None
        back = stay in found.stays and before.state in AWAY and stay.state in USED_STATES
        if back and since and not (log and log.shows_all(since, in_time)):
            yield f"it came back from {AWAY[before.state]}, and no good check with gas of every sensor followed"


def _against_checks(computed: Computed, found: Fitness, tests: Mapping[str, Record | None]) -> Iterator[str]:
    yield from _against_gas(computed, found)
    for off in computed.settings_off.get(found.unit.id, ()):
        if off.worse and off.setting.read_on.value <= found.day:
            yield f"its {off.name(computed.program)} {off.is_told}, not {off.expected} as the handbook says now"
    if found.good_through and found.good_through < found.day:
        yield f"its calibration held until {day_text(found.good_through)}"
    if _asked_daily(computed.program, found.unit) and found.first_use and any(tests.values()):
        since = _since(computed, found)
        late = [name for name, record in tests.items() if record is None or not _is_of_day(record, found.day, since)]
        if late:
            names = ", ".join(computed.program.sensors[name].name for name in late)
            yield f"no good check with gas that day before its first use: {names}"


def _against_gas(computed: Computed, found: Fitness) -> Iterator[str]:
    """Checks of that day that prove nothing, for their gas was past its last day or of another kind."""
    log, until = computed.logbook.units.get(found.unit.id), _until(found.first_use)
    said: dict[str, None] = {}
    for record, verdict in log.entries if log else ():
        if record.day == found.day and _in_time(record, found.day, until) and record.cylinder:
            cylinder = record.cylinder.value
            if verdict.expired:
                last = computed.logbook.windows.expires[cylinder]
                told = f"was past its last day, {day_text(last)}" if last < record.day else "was not certified yet"
                said[f"cylinder {cylinder} {told}"] = None
            elif verdict.lacks:
                said[f"cylinder {cylinder} does not hold the gas that the check needs"] = None
    yield from said


def _since(computed: Computed, found: Fitness) -> datetime | None:
    """From when on a check counts for the first use; ``None`` for its whole day where no use is told."""
    log, shift = computed.logbook.units.get(found.unit.id), computed.program.site.shift.value
    turn = timedelta(hours=float(magnitude(shift, "h")))
    return counts_from(log, found.first_use, turn) if log and found.first_use else None


def _is_of_day(record: Record, day: date, since: datetime | None) -> bool:
    return record.time.value >= since if since else record.day == day


def _asked_daily(program: Program, unit: Unit) -> bool:
    asked = (check.strictest_of(unit) for check in program.checks.values() if check.kind in RANK)
    return any(one.interval.value.each_day_of_use for one in asked if one)


def _unknown_where(found: Fitness) -> Iterator[str]:
    if not found.stays:
        yield "no row says where it was and in what state"
    elif all(stay.start is None for stay in found.stays):
        yield "the inventory tells its state today, nobody since when"
    elif not any(stay.holder for stay in found.stays):
        yield "nobody says who had it"
    if any(stay.state == HIRED and stay.certificate_until is None for stay in found.stays):
        yield "until when its owner's certificate holds"
    if found.first_use is None:
        yield "no use of it is recorded that day: ask where it was"
    elif found.first_use.time.value.time() == time.min:
        yield "the hour of its first use is not told"


def _unknown_checks(computed: Computed, found: Fitness, tests: Mapping[str, Record | None]) -> Iterator[str]:
    made = [record for record in tests.values() if record]
    if not made:
        yield "no good check with gas is on record before it"
    for bottle in dict.fromkeys(record.cylinder.value if record.cylinder else "" for record in made):
        if not bottle:
            yield "its check with gas names no cylinder"
        elif bottle not in computed.program.cylinders:
            yield f"cylinder {bottle} is not in the list, so nobody knows until when it was good"
    people = computed.program.people or {}
    for record in made if computed.program.people is not None else ():
        person = people.get(record.by.value) if record.by else None
        if person is None or not may(person, record.kind.value, record.day):
            yield f"who made its {record.kind.value.replace('-', ' ')} of {day_text(record.day)} had no authorisation"
            break
    yield from _unknown_daily(computed, found)
    if found.calibrated is None:
        yield "no good calibration of every sensor is on record before it"
    elif found.calibrated_by is None:
        yield "its calibration stands in the inventory alone, without a record"
    elif found.good_through is None:
        yield "the plan asks for no calibration by date"


def _unknown_daily(computed: Computed, found: Fitness) -> Iterator[str]:
    """Checks without gas that the plan asks for on each day of use, and that records tell of, but not of this day."""
    program, log = computed.program, computed.logbook.units.get(found.unit.id)
    since, until = _since(computed, found), _until(found.first_use)
    for check in program.checks.values() if log else ():
        asked = check.strictest_of(found.unit)
        if check.uses_gas or not asked or not asked.interval.value.each_day_of_use:
            continue
        rows = [entry for entry in log.entries if entry[0].what == check.what] if log else []
        good = (record for record, verdict in rows if verdict.good)
        done = any(_is_of_day(one, found.day, since) and _in_time(one, found.day, until) for one in good)
        if rows and not done:
            yield f"no good {check.name.lower()} of that day is on record before it"


def _unknown_rest(computed: Computed, found: Fitness) -> Iterator[str]:
    age = age_of(computed.program)
    for off in computed.settings_off.get(found.unit.id, ()):
        if off.worse and off.setting.read_on.value > found.day:
            yield f"since when its {off.name(computed.program)} is {off.setting.value.text}, not {off.expected}"
    if found.settings_read is None:
        yield "its settings had never been read back"
    elif clock.next_due(found.settings_read, age) < found.day:
        yield f"its settings were last read back more than {age.text} before"
    if computed.program.people is None:
        yield "no register of people is kept"
    elif found.first_use and found.first_use.by is None:
        yield "its record of use names nobody"
    elif found.first_use and found.person is None:
        yield "who used it is not in the register"
    elif found.person and not may(found.person, "use", found.day):
        yield f"{found.person.id} had no authorisation for its use that day"


def may(person: Person, what: str, day: date) -> bool:
    """Whether somebody was authorised for a kind of record on a day."""
    listed = any(kind.value == what for kind in person.kinds)
    return listed and person.start.value <= day <= person.until.value
