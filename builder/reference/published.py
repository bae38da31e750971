"""One value as a source prints it: with its unit, its reading and the days for which it counts."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction

from builder.base.record import dataclass
from builder.reference.sources import Source
from builder.reference.tables import ReferenceTable, Row, was_read, was_read_once


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """One value as a source prints it."""

    gas: str
    """Id of the gas."""
    prop: str
    """Property, a key of ``builder.reference.library.PROPERTIES``."""
    value: Fraction
    """Exact value of the printed decimal text."""
    unit: str
    """Unit as spelled in ``builder.base.quantity.UNITS``."""
    text: str
    """The number as printed."""
    source: Source
    """Where it comes from."""
    read: bool
    """Whether it was read in the source or a copy; if not, it is from memory and must be read before it counts."""
    read_once: bool = False
    """Whether it was read in one copy only, and nothing else confirms it."""
    locator: str = ""
    """Page, table or act within the source."""
    note: str = ""
    """Conditions on this value, such as the time a ceiling is averaged over."""
    since: date | None = None
    """First day for which it counts; ``None`` where it counts from the edition on."""
    until: date | None = None
    """First day for which the next value counts; ``None`` where none is known."""
    superseded: str = ""
    """The newer edition that replaces it and whose number nobody here has read; never the basis of a pass."""


def published_series(table: ReferenceTable, gas: str, prop: str, column: str) -> tuple[Published, ...]:
    """Every value that a table has of a gas in one column, in the order of the days from which they count."""
    cells = tuple(table.series(gas, column))
    ends = (*(since for since, _ in cells[1:]), None)
    return tuple(
        _published(table, gas, prop, column, row, since, until)
        for (since, row), until in zip(cells, ends, strict=False)
    )


def in_force(series: tuple[Published, ...], on: date) -> Published | None:
    """The value of a series that counts on a day, with a remark on the one before it and the one to come."""
    started = [one for one in series if one.since is None or one.since <= on]
    if not started:
        return None
    place = len(started) - 1
    remarks = [started[-1].note, *_neighbours(series, place)]
    return replace(started[-1], note="; ".join(remark for remark in remarks if remark))


def _neighbours(series: tuple[Published, ...], place: int) -> Iterator[str]:
    now = series[place]
    if now.since is not None:
        before = f"; superseded: {series[place - 1].text} {now.unit} before that day" if place else ""
        yield f"in force since {plain_day_text(now.since)}{before}"
    if now.until is not None:
        after = series[place + 1]
        yield f"superseded from {plain_day_text(now.until)} on, by {after.text} {after.unit}"


MONTHS = tuple("Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split())  # noqa: SIM905 - twelve words, one line


def plain_day_text(day: date) -> str:
    """A day in words, which no reader can turn round.

    >>> plain_day_text(date(2026, 4, 5))
    '5 Apr 2026'
    """
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _published(
    table: ReferenceTable, gas: str, prop: str, column: str, row: Row, since: date | None, until: date | None
) -> Published:
    return Published(
        gas=gas,
        prop=prop,
        value=Fraction(row[column]),
        unit=table.units[column],
        text=row[column],
        source=table.source,
        read=was_read(row, column),
        read_once=was_read_once(row, column),
        locator=row.get("locator", "") or table.source.locator,
        note=table.note(row, column),
        since=since,
        until=until,
    )
