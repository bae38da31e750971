"""What follows a failed check."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.figure import day_text
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.states import Stay, is_moved
from builder.figures.logbook.units import Episode, LookBack
from builder.findings.record_findings import first_and_count, listed_days, row_text, subject
from builder.findings.rule import rule
from builder.program.inventory import CHECKED_STATES, USED_STATES, Unit
from builder.program.program import Program


@rule(Severity.STOP, Severity.WARN)
def failed_check_not_followed(program: Program, logbook: Logbook) -> Iterator[Finding]:
    """A failed check that no later one put right, of a unit that may still be used.

    A failure is cleared by a good check of the same sensor, of the same kind or one that proves more: bump test,
    then calibration check, then calibration. Source: ISEA statement carried in OSHA SHIB 11-26-2024: failed, then
    full calibration; failed again, out of service.
    """
    # A stop for a unit in use, a warn for a spare one; it points to the first failed row
    yield from first_and_count(
        _finding_of_failed_check_not_followed(program, unit, episode)
        for unit in program.units.values()
        if unit.state.value in CHECKED_STATES and unit.id in logbook.units
        for episode in logbook.units[unit.id].episodes
        if episode.cleared is None
    )


def _finding_of_failed_check_not_followed(program: Program, unit: Unit, episode: Episode) -> Finding:
    record, verdict = episode.first
    sure = verdict.sure and unit.in_use
    return failed_check_not_followed.found(
        severity=Severity.STOP if sure else Severity.WARN,
        message=f"{row_text(program, record)}: it failed, no later check put it right, "
        f"and the unit is {unit.state.value.replace('-', ' ')}.",
        where=record.where,
        source="OSHA SHIB 11-26-2024, after the ISEA statement: failed, then full calibration; else out of service",
        mend="calibrate and check it, or take the unit out of use",
        subject=subject(program, record),
    )


@rule(Severity.WARN)
def look_back(program: Program, logbook: Logbook) -> Iterator[Finding]:
    """A reading found outside, or a failed check: everything measured since the last good check is in doubt.

    The last good check is one of the same kind or one that proves more. Source: ISO 9001:2015, 7.1.5.2, where a
    measuring instrument is found unfit.
    """
    # A warn for each such row, with every day of use, where the unit was and who had it
    yield from first_and_count(
        _finding_of_look_back(program, back, logbook) for log in logbook.units.values() for back in log.look_backs
    )


def _finding_of_look_back(program: Program, back: LookBack, book: Logbook) -> Finding:
    record, _ = back.entry
    failed = record.result is not None and record.result.value == "fail"
    what = "it failed" if failed else "its reading was outside what is permitted"
    return look_back.found(
        message=f"{row_text(program, record)}: {what}. {_doubt(back, book)}{_whereabouts(program, back, book)}",
        where=record.where,
        source="ISO 9001:2015, 7.1.5.2",
        mend="judge what was measured on those days again, and write down what was done about it",
        subject=subject(program, record),
    )


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
