"""Units used though their checks spoke against it, and what follows a failed check."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, time, timedelta
from itertools import groupby

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.record import dataclass
from builder.base.where import Where
from builder.figures.due_checks import is_asked_of
from builder.figures.figure import day_text
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.states import Stay, is_moved, of_moment, on
from builder.figures.logbook.units import Entry, LookBack, UnitLog, clears, counts_from
from builder.findings.record_findings import WORDS, listed_days, subject
from builder.findings.rule import Caused, rule
from builder.findings.wording import short_list
from builder.program.checks import WITH_GAS, Check
from builder.program.inventory import USED_STATES, Unit
from builder.program.program import Program
from builder.program.records import RECORD_KINDS, Record


@rule(Severity.WARN, counted="row")
def used_without_test(program: Program, logbook: Logbook) -> Iterator[Caused]:
    """A day on which a unit was used before a check of that day was passed that the plan asks for on each day of use.

    Of a bump test a calibration check or a calibration proves as much. Judged from the day of the site's first record
    of that check on, for a site without such records keeps them elsewhere. A use without an hour may follow any check
    of its day, one at night the check of a turn that began the evening before. Source: ISEA statement carried in OSHA
    SHIB 11-26-2024, which advises: bump test or calibration check before each day's use.
    """
    # A warn for each unit, with every day
    starts = {check.id: _first_test(logbook, check) for check in program.checks.values()}
    for name, log in logbook.units.items():
        for check in program.checks.values():
            unit, start = program.units[name], starts[check.id]
            asked = check.strictest_of(unit) if is_asked_of(program, unit, check) else None
            if start and asked and asked.interval.value.each_day_of_use:
                yield from _of_unit(program, check, log, start)


def _first_test(book: Logbook, check: Check) -> date | None:
    """The first day of which any record tells of this kind of check, whatever came of it."""
    days = (record.day for log in book.units.values() for record, _ in log.entries if record.what == check.what)
    return min(days, default=None)


def _of_unit(program: Program, check: Check, log: UnitLog, start: date) -> Iterator[Caused]:
    """Every day of use from a day on, with what its tests did not show good in time."""
    named = {record.sensor.value for record, _ in log.entries if record.sensor and record.kind.value in WITH_GAS}
    tested = (log.fitted & named) or log.fitted
    told = {use.where for episode in log.episodes for use in episode.uses}  # by used-while-failed
    turn = timedelta(hours=float(magnitude(program.site.shift.value, "h")))
    for day, rows in groupby(log.entries, key=lambda entry: entry[0].day):
        entries = list(rows)
        uses = [record for record, _ in entries if record.kind.value == "use"] if day >= start else []
        missed = ((use, _not_shown(check, log, tested, use, turn)) for use in uses)
        use, missing = next((one for one in missed if one[1]), (None, ()))
        if use is not None and use.where not in told:
            after = [entry for entry in entries if entry[0].time.value > use.time.value]
            late = not set(missing) - _proved(check, after)
            names = [program.sensors[sensor].name for sensor in missing if len(missing) < len(log.fitted)]
            what = check.name.lower() + (f" of {short_list(names)}" if names else "")
            in_vain = f"its {what} was passed only after it was used"
            found = used_without_test.found(
                message=f"{use.unit.value} was used on {day_text(use.day)}, but "
                + (f"{in_vain}." if late else f"no {what} is recorded as passed on that day."),
                where=use.where,
                source=check.source.value,
                mend="add the record if the test was done; else judge what was measured that day, and say why it was "
                "used",
                subject=subject(program, use),
            )
            yield (use.unit.value, check.id, missing, late), found


def _not_shown(check: Check, log: UnitLog, tested: frozenset[str], use: Record, turn: timedelta) -> tuple[str, ...]:
    """Sensors that no good check of that day or turn shows before a use, or on the whole day of one without an hour."""
    since, end = counts_from(log, use, turn), use.time.value
    if end.time() == time.min:
        end += timedelta(days=1, microseconds=-1)
    first = bisect_left(log.entries, since, key=lambda entry: entry[0].time.value)
    until = bisect_right(log.entries, end, key=lambda entry: entry[0].time.value)
    return tuple(sorted(tested - _proved(check, log.entries[first:until])))


def _proved(check: Check, entries: Iterable[Entry]) -> set[str]:
    """Sensors that good checks show, of that kind or of one that proves more."""
    good = ((record, verdict) for record, verdict in entries if verdict.good)
    return {sensor for record, verdict in good if clears(record.what, check.what) for sensor in verdict.sensors}


@rule(Severity.STOP, Severity.WARN, many=True)
def used_while_failed(program: Program, logbook: Logbook) -> Iterator[Finding]:
    """Use of a unit between a failed check and the check that cleared it.

    Source: ISEA statement carried in OSHA SHIB 11-26-2024; a unit that failed is not used until it was calibrated.
    """
    # A stop while it is in use and failed, a warn where that is over
    for episode in (episode for log in logbook.units.values() for episode in log.episodes):
        failed, verdict = episode.first
        cleared = f"cleared on {day_text(episode.cleared.day)}" if episode.cleared else "not cleared since"
        stands = episode.cleared is None and program.units[failed.unit.value].in_use
        for use in episode.uses:
            yield used_while_failed.found(
                severity=Severity.STOP if stands and verdict.sure else Severity.WARN,
                message=f"{use.unit.value} was used on {day_text(use.day)}, but its {WORDS[failed.kind.value]} had "
                f"failed on {day_text(failed.day)} ({failed.where}), {cleared}.",
                where=use.where,
                source="OSHA SHIB 11-26-2024, after the ISEA statement: a unit that failed is out of service until "
                "calibrated",
                mend="find out what was entered with it that day, and why a failed unit was issued",
                subject=subject(program, use),
            )


LATELY = timedelta(days=30)
"""Where the day of the state is not told, use within this time before the handbook's day is asked about."""
READ_BACK = "reading of settings"
BEFORE_USE = ("bump-test", "zero", "flow-block")
FORBIDS: Mapping[str, frozenset[str]] = {
    "spare": frozenset({"use"}),
    "quarantined": frozenset({"use", *BEFORE_USE}),
    "repair": frozenset({"use", *BEFORE_USE}),
    "lent": frozenset({*RECORD_KINDS, READ_BACK}),
    "retired": frozenset({*RECORD_KINDS, READ_BACK}),
}
"""State to what must not be on record while it holds."""
SAID = {"lent": "lent out", "repair": "in repair"}


@dataclass(frozen=True, slots=True)
class _Event:
    unit: str
    what: str
    day: date
    moment: datetime | None
    """``None`` where only the day is told."""
    where: Where


@rule(Severity.STOP, Severity.WARN, source="ISO 9001:2015, 7.1.5.2; common practice")
def used_in_forbidden_state(program: Program, ledger: Ledger, logbook: Logbook) -> Iterator[Finding]:
    """A unit used, checked or read back in a state that forbids it.

    Quarantined and in repair forbid use, and while they last the tests before it. Lent and retired forbid
    everything, since the unit is not here. Spare forbids use where movements are kept, since nobody took it. Where
    nobody says since when a state holds, late use is asked about. Source: ISO 9001:2015, 7.1.5.2, keeps unfit
    measuring equipment from use; common practice.
    """
    # A stop for use on or after that day while the state lasts, else a warn; one a unit, state and kind
    groups: dict[tuple[str, str, str], list[tuple[_Event, Stay]]] = {}
    for event in _events(program, logbook):
        stays = logbook.stays.get(event.unit, ())
        if event.day > ledger.today or not stays:
            continue
        there = on(stays, event.day) if event.moment is None else of_moment(stays, event.moment)
        if there and all(_forbids(stay, event, ledger.today) for stay in there):
            groups.setdefault((event.unit, there[-1].state, event.what), []).append((event, there[-1]))
    for (unit, state, what), found in groups.items():
        stay = found[-1][1]
        is_now = stay.end is None and stay == logbook.stays[unit][-1]
        done = "was used" if what == "use" else f"there is a record of its {WORDS.get(what, what)}"
        since = f"since {day_text(stay.first_day)}" if stay.first_day else "nobody says since when"
        until = f" until {day_text(stay.end.date())}" if stay.end else ""
        told = f"{'is' if is_now else 'was'} {SAID.get(state, state)} {since}{until}"
        days = listed_days(sorted({event.day for event, _ in found}))
        stop = what == "use" and stay.start is not None and state != "spare" and is_now
        yield used_in_forbidden_state.found(
            severity=Severity.STOP if stop else Severity.WARN,
            message=f"{unit} {told}, and {done} all the same: {days}.",
            where=stay.where,
            mend="find out who had it and what was measured; then correct its state or the record, whichever is wrong",
            subject=f"unit:{unit}",
            lines=tuple(event.where for event, _ in found),
        )


def _events(program: Program, logbook: Logbook) -> Iterator[_Event]:
    """What is on record of units that ever were in a state which forbids something."""
    barred = {unit: True for unit, stays in logbook.stays.items() if any(stay.state in FORBIDS for stay in stays)}
    for unit in barred:
        for record, _ in logbook.units[unit].entries if unit in logbook.units else ():
            yield _Event(unit, record.kind.value, record.day, record.time.value, record.where)
    for setting in program.settings:
        if setting.unit.value in barred:
            yield _Event(setting.unit.value, READ_BACK, setting.read_on.value, None, setting.where)


def _forbids(stay: Stay, event: _Event, day: date) -> bool:
    if stay.state == "spare" and not isinstance(stay.start, datetime):
        return False
    if stay.start is None and event.day < day - LATELY:
        return False
    if event.what in BEFORE_USE and stay.state in ("quarantined", "repair") and stay.end is not None:
        return False  # so it was brought back
    return event.what in FORBIDS.get(stay.state, ())


@rule(Severity.STOP, Severity.WARN, many=True)
def failed_check_not_followed(program: Program, logbook: Logbook, unit: Unit) -> Iterator[Finding]:
    """A failed check that no later one put right, of a unit that may still be used.

    A failure is cleared by a good check of the same sensor, of the same kind or one that proves more: bump test,
    then calibration check, then calibration. Source: ISEA statement carried in OSHA SHIB 11-26-2024: failed, then
    full calibration; failed again, out of service.
    """
    # A stop for a unit in use, a warn for a spare one; it points to the first failed row
    log = logbook.units.get(unit.id) if unit.checked else None
    for record, verdict in (one.first for one in log.episodes if one.cleared is None) if log else ():
        state = unit.state.value.replace("-", " ")
        yield failed_check_not_followed.of_row(
            program,
            record,
            f"it failed, no later check put it right, and the unit is {state}.",
            severity=Severity.STOP if verdict.sure and unit.in_use else Severity.WARN,
            source="OSHA SHIB 11-26-2024, after the ISEA statement: failed, then full calibration; else out of service",
            mend="calibrate and check it, or take the unit out of use",
        )


@rule(Severity.WARN, many=True, source="ISO 9001:2015, 7.1.5.2")
def look_back(program: Program, logbook: Logbook) -> Iterator[Finding]:
    """A reading found outside, or a failed check: everything measured since the last good check is in doubt.

    The last good check is one of the same kind or one that proves more. Source: ISO 9001:2015, 7.1.5.2, where a
    measuring instrument is found unfit.
    """
    # A warn for each such row, with every day of use, where the unit was and who had it
    for back in (back for log in logbook.units.values() for back in log.look_backs):
        record, _ = back.entry
        failed = record.result is not None and record.result.value == "fail"
        what = "it failed" if failed else "its reading was outside what is permitted"
        told = f"{what}. {_doubt(back, logbook)}{_whereabouts(program, back, logbook)}"
        mend = "judge what was measured on those days again, and write down what was done about it"
        yield look_back.of_row(program, record, told, mend=mend)


def _doubt(back: LookBack, book: Logbook) -> str:
    """Since when nothing shows that the unit read right, and on which days it was used meanwhile."""
    if back.again:
        since = "It had failed before, with no good check in between"
    elif back.since:
        since = f"Its last good check before was on {day_text(back.since)}"
    else:
        since = "No good check before it is recorded"
    if not book.counts_use:
        return f"{since}. As the records tell of no use at all, what it showed on any day up to this check is in doubt."
    if not back.days:
        return f"{since}. No use is recorded since, though it could be used: ask where it was."
    return f"{since}. What it showed up to this check is in doubt; it was used in {listed_days(back.days)}."


def _whereabouts(program: Program, back: LookBack, book: Logbook) -> str:
    """In which areas and with whom it was in those days, as its movements tell; empty where it has none."""
    record, _ = back.entry
    every = book.stays[record.unit.value]
    if not is_moved(every):
        return ""
    first = back.days[0] if back.days else back.since or record.day
    stays = [
        stay
        for stay in every
        if stay.state in USED_STATES
        and (any(stay.touches(day) for day in back.days) if back.days else stay.overlaps(first, record.day))
    ]
    told = dict.fromkeys(_told(program, stay) for stay in stays)
    return f" It was {'; '.join(told)}." if told else " No row of its movements says where it was then."


def _told(program: Program, stay: Stay) -> str:
    where = f"in {program.areas[stay.area].name}" if stay.area else "in no area that its movements name"
    holder = stay.holder if program.site.names_public else f"the holder that {stay.where} names" if stay.holder else ""
    return f"{where}, with {holder}" if holder else f"{where}, nobody says with whom"
