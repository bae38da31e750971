"""What follows a failed check."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.figure import day_text
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.states import Stay, is_moved
from builder.figures.logbook.units import LookBack
from builder.findings.record_findings import listed_days, row_text, subject
from builder.findings.rule import rule
from builder.program.inventory import CHECKED_STATES, USED_STATES
from builder.program.program import Program


@rule(Severity.STOP, Severity.WARN, many=True)
def failed_check_not_followed(program: Program, logbook: Logbook) -> Iterator[Finding]:
    """A failed check that no later one put right, of a unit that may still be used.

    A failure is cleared by a good check of the same sensor, of the same kind or one that proves more: bump test,
    then calibration check, then calibration. Source: ISEA statement carried in OSHA SHIB 11-26-2024: failed, then
    full calibration; failed again, out of service.
    """
    # A stop for a unit in use, a warn for a spare one; it points to the first failed row
    for unit in program.units.values():
        log = logbook.units.get(unit.id) if unit.state.value in CHECKED_STATES else None
        for record, verdict in (one.first for one in log.episodes if one.cleared is None) if log else ():
            yield failed_check_not_followed.found(
                severity=Severity.STOP if verdict.sure and unit.in_use else Severity.WARN,
                message=f"{row_text(program, record)}: it failed, no later check put it right, "
                f"and the unit is {unit.state.value.replace('-', ' ')}.",
                where=record.where,
                source="OSHA SHIB 11-26-2024, after the ISEA statement: failed, then full calibration; else out of "
                "service",
                mend="calibrate and check it, or take the unit out of use",
                subject=subject(program, record),
            )


@rule(Severity.WARN, many=True)
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
        yield look_back.found(
            message=f"{row_text(program, record)}: {told}",
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
