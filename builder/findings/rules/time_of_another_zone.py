"""A record or a move whose time has another offset from UTC than the site's zone has at that moment.

Its day is told by its own clock, so a test of the evening may count for the next day, or a use come before its test.
Source: common practice; an export in UTC, a computer set to another zone, or a map that names one.
"""

from collections.abc import Hashable, Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.record_findings import by_cause
from builder.findings.wording import COMMON_PRACTICE
from builder.program.program import Program

ID = "time-of-another-zone"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each file and offset, with all its rows; nothing without a calendar, which has the zone."""
    program = computed.program
    if program.calendar is not None:
        yield from by_cause(_found(program, program.calendar.zone.value))


def _found(program: Program, name: str) -> Iterator[tuple[Hashable, Finding]]:
    zone = ZoneInfo(name)
    for moment, unit, where in _times(program):
        here = moment.astimezone(zone)
        if here.utcoffset() != moment.utcoffset():
            written = _offset(moment)
            yield (
                (where.file, written),
                Finding(
                    rule=ID,
                    severity=Severity.WARN,
                    message=f"Unit {unit}, {moment:%Y-%m-%d %H:%M}: the time is written {written} from UTC, where "
                    f"{name}, the zone of this site, was {_offset(here)}. Its day is that of its own clock.",
                    where=where,
                    figures=(),
                    source=COMMON_PRACTICE,
                    mend="export local times, or name in maps.yaml the zone in which these times are written",
                    subject=f"unit:{unit}" if unit in program.units else "page:checks",
                ),
            )


def _offset(moment: datetime) -> str:
    """Its offset, such as -07:00."""
    written = f"{moment:%z}"
    return f"{written[:3]}:{written[3:]}"


def _times(program: Program) -> Iterator[tuple[datetime, str, Where]]:
    for record in program.records:
        yield record.time.value, record.unit.value, record.where
    for move in program.movements:
        for given in (move.start, move.end):
            if given is not None:
                yield given.value, move.unit.value, move.where
