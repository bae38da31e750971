"""What each set that is carried into an area shows of its hazards, and what is there when it sounds."""

from collections.abc import Iterator

from builder.figures.figure import Figure
from builder.findings.seen_table import AlarmTruth, SeenRow, Shows, seen_rows, sets_alike
from builder.findings.sensor_coverage import carried_words
from builder.pages.blocks import Absent, Block, Inlines, Strong
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import capital, small
from builder.pages.handbook.parts import Row, apart, assumes, head, inlines, listed, subhead, table
from builder.program.areas import Area
from builder.program.carry import CarriedSet
from builder.program.keys.families import EXPOSURE_LIMIT

COLUMNS = (("Average (TWA)", ("twa",)), ("Short-term", ("stel", "excursion")), ("Ceiling", ("ceiling",)))
"""Kinds of limit beside one another, and what stands over them."""
DEADLY = ("Dangerous to life", ("idlh",))


def seen_by_sets(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """A table for every set that shows another thing than the sets before, each with all its limits."""
    made: list[Block] = []
    for group in sets_alike(book.program, area):
        rows = tuple(seen_rows(book.program, book.ledger, area, group[0]))
        made += [subhead(_names(book, group)), _limits_table(book, rows)]
    told = assumes(fixed("areas.seen"), fixed("areas.true-values"), fixed("areas.over-range"))
    return (head("What is there when an alarm sounds"), told, *made)


def _limits_table(book: HandbookContext, rows: tuple[SeenRow, ...]) -> Block:
    kinds = (*COLUMNS, DEADLY)
    columns = ("Hazard", "Shows", "At the first alarm", "At the second", *(words for words, _ in kinds))
    lines = (
        (*_seen_cells(book, row), *(_limit_cell(book, row, row.of_kind(*names)) for _, names in kinds)) for row in rows
    )
    return table(columns, lines, empty="no hazard is listed")


def sight_matrix(book: HandbookContext, area: Area) -> Block:
    """How each hazard shows, a column for every set that shows another thing than the sets before."""
    groups = sets_alike(book.program, area)
    shown: list[dict[str, list[Inlines]]] = []
    for group in groups:
        ways: dict[str, list[Inlines]] = {}
        for row in seen_rows(book.program, book.ledger, area, group[0]):
            found = ways.setdefault(row.seen.gas, [])
            way = inlines(apart(_shows(book, row) if found else capital(_shows(book, row))))
            found.append((Strong(way),) if row.shows is Shows.NOT else way)
        shown.append(ways)
    rows: Iterator[Row] = (
        (book.link("gas", hazard.gas.value), *(listed(ways.get(hazard.gas.value, ())) for ways in shown))
        for hazard in area.hazards
    )
    columns = ("Hazard", *(_names(book, group) for group in groups))
    return table(columns, rows, kind="matrix", empty="no hazard is listed")


def seen_in_short(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """The same in short: where a hazard shows best, and of its limits the strictest to work to."""
    made: list[Block] = []
    groups = sets_alike(book.program, area)
    for group in groups:
        rows = {row.seen.gas: row for row in reversed(tuple(seen_rows(book.program, book.ledger, area, group[0])))}
        every = tuple(kind for _, names in COLUMNS for kind in names)
        best = reversed(rows.values())
        lines = ((*_seen_cells(book, row), _strictest(book, row.of_kind(*every))) for row in best)
        columns = ("Hazard", "Shows", "At the first alarm", "At the second", "Strictest limit")
        caption = _names(book, group) if len(groups) > 1 else ""
        made.append(table(columns, lines, caption=caption, numeric=(2, 3), empty="no hazard is listed"))
    return (head("What is there when an alarm sounds"), *made)


def _names(book: HandbookContext, group: tuple[CarriedSet, ...]) -> str:
    """Sets that show the same, in words."""
    return ", or ".join(carried_words(book.program, carried) for carried in group)


def _seen_cells(book: HandbookContext, row: SeenRow) -> Row:
    shows = inlines(_shows(book, row))
    alarms: Iterator[Inlines] = (_there(book, alarm) for alarm in row.alarms)
    none: Inlines = (Absent("no alarm"),) if row.shows is not Shows.NOT else (Absent("not seen"),)
    first, second = next(alarms, none), next(alarms, inlines(""))
    return (
        book.link("gas", row.seen.gas),
        Strong(shows) if row.shows is Shows.NOT else shows,
        Strong(first) if row.passed else first,
        second,
    )


def _shows(book: HandbookContext, row: SeenRow) -> str:
    if row.shows is Shows.OTHER:
        return f"as {small(book.channel_name(row.channel))}"
    return str(row.shows.value)


def _there(book: HandbookContext, alarm: AlarmTruth) -> Inlines:
    """What is there, and its share of the explosive limit where it shows so."""
    there = book.fig(alarm.there.key)
    if alarm.share is None or alarm.share is alarm.there:
        return there
    return inlines(*there, ", ", *book.fig(alarm.share.key))


def _limit_cell(book: HandbookContext, row: SeenRow, limits: tuple[Figure, ...]) -> Inlines:
    """Limits of one kind, list by list; the strictest heavier, and each that the first alarm lies beyond marked."""
    beyond = row.passed
    lines = []
    for limit in limits:
        words = inlines(_list_of(book, limit), " ", *book.fig(limit.key), " (exceeded)" if limit in beyond else "")
        lines.append((Strong(words),) if limit is limits[0] else words)
    return listed(lines, none="")


def _strictest(book: HandbookContext, limits: tuple[Figure, ...]) -> Inlines:
    if not limits:
        return inlines("")
    least = min(limits, key=lambda limit: limit.number)
    return inlines(_list_of(book, least), " ", *book.fig(least.key))


def _list_of(book: HandbookContext, limit: Figure) -> str:
    """The list of a limit; beside a value that a newer edition has replaced, that it is so."""
    parts = EXPOSURE_LIMIT.read(limit.key)
    if parts is None:
        return ""
    library, entry = book.program.library, book.program.gases[parts["gas"]].entry.id
    known = library.limits(entry, parts["list"], book.ledger.today).get(parts["kind"])
    old = " (superseded)" if known is not None and known.superseded else ""
    return f"{library.limit_list(parts['list']).short}{old}"
