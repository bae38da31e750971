"""Whether records are there, are kept and agree with the inventory."""

from collections.abc import Iterator
from datetime import date, datetime
from zoneinfo import ZoneInfo

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.record import dataclass
from builder.base.rounding import plain
from builder.base.where import Given, Where
from builder.figures.day_margins import SOON
from builder.figures.figure import day_text
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.findings.rule import Caused, rule
from builder.findings.wording import count_in_words, keys, short_list
from builder.program.checks import Check
from builder.program.inventory import Unit
from builder.program.keys.families import AS_OF, MODEL_LOG_CAPACITY, MODEL_LOG_MARGIN, SITE_SHIFT, UNIT_LAST
from builder.program.models import Model
from builder.program.program import Program


@rule(Severity.WARN, about="page:checks")
def records_end_early(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Records that end more than thirty days before the handbook's day, so that checks look overdue which may be done.

    Data for demonstration are dated; judged on a later day they grow old. Source: common practice; a handbook
    judges what it was told.
    """
    # One warn, at the newest record
    now = ledger.today
    newest = max((record for record in program.records if record.day <= now), key=lambda one: one.day, default=None)
    if newest is None or (now - newest.day).days <= SOON:
        return
    day = newest.day.isoformat()
    mend = "add the records of the days since then"
    dated = ""
    if program.site.invented and not program.confirmations:  # a starter gets records of its own
        dated = f" The site is invented and its data are those of {day_text(newest.day)}: nobody adds to them."
        mend += f"; to see the demonstration as it is meant, build it with --as-of {day}"
    yield records_end_early.found(
        message=f"The newest record is of {day_text(newest.day)}, {(now - newest.day).days} days before the day this "
        f"handbook is judged on. What was done since then is not known here, so checks may look overdue that were "
        f"done.{dated}",
        where=newest.where,
        mend=mend,
    )


@rule(Severity.WARN, about="page:checks")
def map_without_file(program: Program) -> Iterator[Finding]:
    """A map of maps.yaml that holds for no table: the name of one of them is misspelt, or a table is not here.

    Source: common practice; a table that was left out leaves no other trace.
    """
    for given in program.idle_maps:
        yield map_without_file.found(
            message=f"maps.yaml has a map for {given.value}, and there is no such table.",
            where=given.where,
            mend="correct the name (* and ? stand for anything), bring the table in, or take the map out",
        )


@rule(Severity.WARN, about="page:checks")
def sheet_not_read(program: Program) -> Iterator[Finding]:
    """A sheet with rows under the very heads of a map that names other sheets of its workbook: nobody reads it.

    Source: common practice; where a log gets a sheet a month, the new one would be passed over.
    """
    for given in program.unread_sheets:
        yield sheet_not_read.found(
            message=f"{given.value} has rows of the form that maps.yaml tells for other sheets, and is not read.",
            where=given.where,
            mend="add it to sheet: in the map, or move it into a workbook that is no record",
        )


@rule(Severity.WARN, counted="unit")
def last_disagrees(program: Program, ledger: Ledger, logbook: Logbook) -> Iterator[Caused]:
    """The day of the last good check in the inventory is another than the one the records show, or no record shows it.

    Judged where checks are recorded at all; without a record the day of a unit in use is only what somebody wrote.
    Source: common practice; two lists of one thing drift apart.
    """
    # A warn for each check, with the units of which it is so: a list that was not kept is one cause
    for unit in program.units.values():
        log = logbook.units.get(unit.id)
        for check, stated in unit.last.items():
            planned = program.checks[check]
            if log is not None and (planned.what in log.good_days or planned.what in log.failed):
                shown = log.last.get(planned.what)
                words = f"the records show {day_text(shown)}" if shown else "the records show none for all its sensors"
                if shown != stated.value:
                    yield (check, shown is None), _finding_of_last_disagrees(ledger, unit, planned, stated, words)
            elif program.records and unit.in_use:
                yield (
                    f"{check} unrecorded",
                    _finding_of_last_disagrees(ledger, unit, planned, stated, "no record shows it"),
                )


def _finding_of_last_disagrees(ledger: Ledger, unit: Unit, check: Check, stated: Given[date], words: str) -> Finding:
    return last_disagrees.found(
        message=f"Unit {unit.id}, {check.name}: the inventory says it was last good on {day_text(stated.value)}, "
        f"{words}.",
        where=stated.where,
        figures=keys(ledger.get(UNIT_LAST(unit=unit.id, check=check.id))),
        mend="take the day out of the inventory where records tell it, or add the missing record",
        subject=f"unit:{unit.id}",
    )


@rule(Severity.WARN)
def log_overwritten(program: Program, ledger: Ledger, model: Model) -> Iterator[Finding]:
    """A data log that is full, and loses readings, before it is downloaded.

    Assumed is one shift of the site's full length on every day between two downloads. Source: arithmetic on
    the instrument's stated capacity.
    """
    margin = ledger.get(MODEL_LOG_MARGIN(model=model.id))
    if model.log is None or margin is None or magnitude(margin.amount, "h") >= 0:
        return
    needed = magnitude(model.log.capacity.value, "h") - magnitude(margin.amount, "h")
    lost = "the newest readings are never kept" if model.log.stops else "the oldest readings are written over"
    yield log_overwritten.found(
        message=f"{model.name}: its log holds {model.log.capacity.text} but {plain(needed)} h can pass between "
        f"downloads every {model.log.download_every.value.text}, with one shift of {program.site.shift.text} each "
        f"day; {lost}.",
        where=model.log.capacity.where,
        figures=keys(margin, ledger.get(MODEL_LOG_CAPACITY(model=model.id)), ledger.get(SITE_SHIFT())),
        source=f"manual: {model.manual.value}",
        mend="download more often",
    )


@rule(Severity.WARN, Severity.NOTE, about="page:checks")
def not_on_record(program: Program, logbook: Logbook) -> Iterator[Finding]:
    """What this handbook cannot know, because no record, no use or no register is there. Silence is never a pass.

    Source: common practice, no published source; 29 CFR 1910.146 (e)(6) and ISO 9001:2015, 7.1.5 ask for such
    records.
    """
    # A warn where units are in use and nothing is recorded, a note for each thing that is not known
    used = [unit for unit in program.units.values() if unit.in_use]
    for severity, told, mend, silent in _not_known(program, logbook, used) if used else ():
        first = (silent or used)[0].where
        yield not_on_record.found(
            severity=severity,
            message=told,
            where=Where(first.file, first.line),
            mend=mend,
            touches=tuple(f"unit:{unit.id}" for unit in silent),
        )


def _not_known(program: Program, logbook: Logbook, used: list[Unit]) -> Iterator[tuple[Severity, str, str, list[Unit]]]:
    """How grave it is, what is not known, how that is mended, and of which units it is so if not of all."""
    if not program.records:
        told = "No check and no use of any unit is recorded here. That every check was done and passed is not known."
        yield Severity.WARN, told, "bring in the records of checks and use under records/", []
    elif not any(record.kind.value == "use" for record in program.records):
        told = "No use of any unit is recorded. Where a unit was when it turned out wrong is then not known."
        yield Severity.NOTE, told, "record who takes which unit where, as rows of kind use", []
    elif silent := _silent(logbook, used):
        told = f"No use is on record of {count_in_words(len(silent), 'unit')} in use: "
        told += f"{short_list([unit.id for unit in silent], 12)}. Ask where they were."
        yield Severity.NOTE, told, "record their use too, or enter them as spare from the day they lie idle", silent
    if not program.movements:
        told = "No movements of units are kept. Where a unit was on a past day, in what state and with whom, "
        told += "is not known."
        yield Severity.NOTE, told, "enter issue, return, loan, repair and the like under movements/", []
    if program.cards and not program.copies:
        told = "No register of printed copies is kept. Who holds a card that must be taken back is then not known."
        yield Severity.NOTE, told, "enter who holds which card in copies.yaml", []
    if program.people is None:
        told = "No register of people is kept here. Who may test, calibrate or go in is not known to this handbook."
        yield Severity.NOTE, told, "enter people and what they may do in people.yaml", []
    if not program.settings:
        told = "No settings were read back from any unit. That alarms are set as printed here is not known."
        yield Severity.NOTE, told, "read the settings of the units and add the export to readback/", []


def _silent(logbook: Logbook, used: list[Unit]) -> list[Unit]:
    """Units in use of which no day of use is on record; use of others says nothing of them."""
    logs = logbook.units
    return [unit for unit in used if unit.id not in logs or not logs[unit.id].use_days]


@rule(Severity.STOP, Severity.WARN, counted="row")
def done_in_future(program: Program, ledger: Ledger) -> Iterator[Caused]:
    """The content or a read-back tells what was done on a day still to come, which hides that it is due or used up.

    Source: common practice; a slip in the year, or a day and a month that were swapped.
    """
    # A stop for each unit or station with such a check, a warn for each sensor, battery, pressure or read-back
    now, figures = ledger.today, keys(ledger.get(AS_OF()))
    for done in (*_done_to_units(program), *_done_elsewhere(program)):
        if done.day.value > now:
            found = done_in_future.found(
                severity=done.severity,
                message=f"{done.what} on {day_text(done.day.value)}, after the day this handbook is judged on.",
                where=done.where,
                figures=figures,
                mend="enter the day on which it really was done",
                subject=done.subject,
            )
            yield (done.subject, done.severity), found


@dataclass(frozen=True, slots=True)
class _Done:
    subject: str
    severity: Severity
    what: str
    day: Given[date]
    where: Where


def _done_to_units(program: Program) -> Iterator[_Done]:
    for unit in program.units.values():
        subject, name = f"unit:{unit.id}", f"Unit {unit.id}"
        for check, given in unit.last.items():
            what = f"{name}: last {program.checks[check].name}"
            yield _Done(subject, Severity.STOP, what, given, given.where)
        for part in unit.sensors:
            if part.fitted is not None:
                what = f"{name}: {part.sensor.value} fitted"
                yield _Done(subject, Severity.WARN, what, part.fitted, part.fitted.where)
        if unit.battery is not None:
            yield _Done(subject, Severity.WARN, f"{name}: battery fitted", unit.battery, unit.battery.where)
    for setting in program.settings:
        unit_id = setting.unit.value
        subject = f"unit:{unit_id}" if unit_id in program.units else "page:checks"
        yield _Done(subject, Severity.WARN, f"Unit {unit_id}: settings read", setting.read_on, setting.where)


def _done_elsewhere(program: Program) -> Iterator[_Done]:
    for cylinder in program.bottles:
        for what, day in (("pressure read", cylinder.measured), ("certified", cylinder.certified_on)):
            if day is not None:
                told = f"Cylinder {cylinder.id}: {what}"
                yield _Done(f"cylinder:{cylinder.id}", Severity.WARN, told, day, day.where)
    for station in program.stations.values():
        what, tested = f"{station.name.value}: tested for leaks", station.leak_test.last
        yield _Done("page:calibration-gas", Severity.STOP, what, tested, tested.where)


@rule(Severity.WARN, counted="row")
def time_of_another_zone(program: Program) -> Iterator[Caused]:
    """A record or a move whose time has another offset from UTC than the site's zone has at that moment.

    Its day is told by its own clock, so a test of the evening may count for the next day, or a use come before its
    test. Source: common practice; an export in UTC, a computer set to another zone, or a map that names one.
    """
    # A warn for each file and offset, with all its rows; nothing without a calendar, which has the zone
    if program.calendar is None:
        return
    zone = ZoneInfo(program.calendar.zone.value)
    for moment, unit, where in _times(program):
        here = moment.astimezone(zone)
        if here.utcoffset() != moment.utcoffset():
            written = _offset(moment)
            found = time_of_another_zone.found(
                message=f"Unit {unit}, {moment:%Y-%m-%d %H:%M}: the time is written {written} from UTC, where "
                f"{zone.key}, the zone of this site, was {_offset(here)}. Its day is that of its own clock.",
                where=where,
                mend="export local times, or name in maps.yaml the zone in which these times are written",
                subject=f"unit:{unit}" if unit in program.units else "page:checks",
            )
            yield (where.file, written), found


def _offset(moment: datetime) -> str:
    """Its offset, such as -07:00."""
    return str(moment)[-6:]


def _times(program: Program) -> Iterator[tuple[datetime, str, Where]]:
    for record in program.records:
        yield record.time.value, record.unit.value, record.where
    for move in program.movements:
        for given in (move.start, move.end):
            if given is not None:
                yield given.value, move.unit.value, move.where
