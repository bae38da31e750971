"""What the rules that judge records share: every judged row, words for one, and a bound on how much is listed."""

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import groupby
from operator import itemgetter

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.figures.figure import MONTHS, day_text
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import Entry
from builder.findings.wording import count_in_words
from builder.program.program import Program
from builder.program.records import RECORD_KINDS, Record

LISTED = 500
"""Findings of one rule that are listed one by one; the rest is counted."""
WORDS = {kind: kind.replace("-", " ") for kind in RECORD_KINDS} | {
    "flow-block": "flow-block test",
    "sensor-change": "change of sensor",
    "setting-change": "change of a setting",
}


def entries(book: Logbook) -> Iterator[Entry]:
    """Every judged record, unit by unit."""
    for log in book.units.values():
        yield from log.entries


def first_and_count(found: Iterable[Finding]) -> Iterator[Finding]:
    """The first ``LISTED`` findings, then one that counts the rest and points to the first of it."""
    beyond: Finding | None = None
    rest = 0
    for number, finding in enumerate(found):
        if number < LISTED:
            yield finding
        else:
            beyond, rest = beyond or finding, rest + 1
    if beyond is not None:
        yield replace(beyond, message=f"{rest} more findings of this rule are not listed; the first of them is here.")


def by_cause(found: Iterable[tuple[Hashable, Finding]], one: str = "row") -> Iterator[Finding]:
    """One finding a cause: the first of it, with how many rows show it, what they touch, and every line.

    Whoever sees fifty lines about one bottle looks at none of them.

    :param one: what is counted.
    """
    groups = ([finding for _, finding in group] for group in grouped(found, itemgetter(0)).values())
    yield from first_and_count(group[0] if len(group) == 1 else _merged(group, one) for group in groups)


def _merged(group: list[Finding], one: str) -> Finding:
    first = group[0]
    touched = tuple(dict.fromkeys(finding.subject for finding in group))
    return replace(
        first,
        severity=min((finding.severity for finding in group), key=lambda severity: severity.rank),
        message=f"{first.message} The same is so of {count_in_words(len(group) - 1, f'other {one}')}.",
        figures=tuple(dict.fromkeys(key for finding in group for key in finding.figures)),
        touches=touched,
        lines=tuple(finding.where for finding in group),
    )


def row_text(program: Program, record: Record) -> str:
    """A row in words: unit, kind, sensor and day."""
    known = program.sensors.get(record.sensor.value) if record.sensor else None
    what = f" of {known.name if known else record.sensor.value}" if record.sensor else ""
    if record.part:
        what = f" of {record.part.value.replace('-', ' ')}"
    return f"{record.unit.value}, {WORDS[record.kind.value]}{what} on {day_text(record.day)}"


def subject(program: Program, record: Record) -> str:
    """The page a finding about a row stands on."""
    return f"unit:{record.unit.value}" if record.unit.value in program.units else "page:checks"


def severity_of(program: Program, book: Logbook, record: Record) -> Severity:
    """Of a check that proved nothing: a stop while its unit is in use and no good check followed, then a warn.

    What is over cannot be mended; whoever could release nothing for it any more would take the row away.
    """
    stands = program.units[record.unit.value].in_use and not book.units[record.unit.value].puts_right(record)
    return Severity.STOP if stands else Severity.WARN


def listed_days(days: Sequence[date]) -> str:
    """Every day, month by month: ``Nov 2026: 2, 3, 5``."""
    months = groupby(days, key=lambda day: (day.year, day.month))
    return "; ".join(
        f"{MONTHS[month - 1]} {year}: {', '.join(str(day.day) for day in same)}" for (year, month), same in months
    )
