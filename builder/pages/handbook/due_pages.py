"""What falls due by area and by week, and everything the checks give to print or to take into other programs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from builder.findings.states import Due, State, dues
from builder.pages.blocks import FILE, Absent, Block, Fig, Inlines, Page, Strong, Table
from builder.pages.handbook.book import Book
from builder.pages.handbook.parts import head, listed, page, para, said, table, to
from builder.pages.handbook.sections import path_of

TOLD = {State.NEVER: "never done: due before use", State.OVERDUE: "overdue", State.SOON: "due soon"}
"""States that are set strong, as a reader sees them."""
BEFORE_USE = (State.NEVER, State.OVERDUE)


def due_pages(book: Book) -> Iterator[Page]:
    """The two further lists, and the page of files; the book on paper has the list by day already."""
    found = dues(book.program, book.ledger)
    counted = said("Counted from ", *book.fig("handbook.as-of"), ". ")
    yield _page(
        "by-area",
        "Checks due by area",
        said(counted, "What falls due in each work area and pool, the most pressing first."),
        _by_area(book, found),
    )
    yield _page(
        "by-week",
        "Checks due by week",
        said(counted, "What falls due in each week, Monday to Sunday, numbered as in ISO 8601."),
        _by_week(book, found),
    )
    yield _page(
        "files",
        "Calendars, log sheets, labels and tables",
        said("What the checks give to print, and to take into other programs."),
        _files(book),
    )


def _page(name: str, title: str, lead: Inlines, blocks: Iterable[Block]) -> Page:
    reference = f"due:{name}"
    return page(
        id=reference, path=path_of(reference), title=title, section="checks", lead=lead, blocks=blocks, in_pdf=False
    )


# ---- lists -------------------------------------------------------------------------


def due_table(book: Book, found: Iterable[Due], *, place: bool = True, caption: str = "") -> Table:
    """Dated checks, the most pressing first; those before each day's use are left to the words around it."""
    dated = sorted(
        (due for due in found if due.state is not State.DAILY),
        key=lambda due: (due.day or date.min, due.unit.id, due.check.id),
    )
    columns = ("Holds until the end of", "Unit", "Check", *(("Place",) if place else ()), "State when built")
    rows = (
        (
            due_day(due),
            (book.link("unit", due.unit.id),),
            (book.link("check", due.check.id),),
            *((book.place(due.unit),) if place else ()),
            state_words(due),
        )
        for due in dated
    )
    return table(columns, rows, caption=caption, empty="nothing falls due")


def due_day(due: Due) -> Inlines:
    """The last day the last good check holds, marked for the reader's browser, or why there is none."""
    if due.key:
        return (Fig(due.key, due=True),)
    return (Absent("no good check is recorded"),)


def state_words(due: Due) -> Inlines:
    """The state on the handbook's day."""
    return (Strong(said(TOLD[due.state])),) if due.state in TOLD else said(due.state.value)


def daily_words(book: Book, found: Iterable[Due]) -> tuple[Block, ...]:
    """Which checks are made before each day's use; nothing when none is."""
    daily = dict.fromkeys(due.check.id for due in found if due.state is State.DAILY)
    if not daily:
        return ()
    return (para("Before each day's use, whatever the calendar says: ", *listed(book.links("check", daily)), "."),)


def _by_area(book: Book, found: tuple[Due, ...]) -> Iterator[Block]:
    if not found:
        yield para("No unit is in a state in which checks fall due.")
    for area in book.program.areas.values():
        here = tuple(due for due in found if due.unit.area is not None and due.unit.area.value == area.id)
        if here:
            yield head(area.name, f"area-{area.id}")
            yield due_table(book, here, place=False, caption=f"Due in {area.name}")
            yield from daily_words(book, here)
            yield para("To print or take along: ", *listed(_prints(book, area.id)), ".")
    pooled = tuple(due for due in found if due.unit.area is None)
    if pooled:
        yield head("Units in pools", "pools")
        yield due_table(book, pooled, caption="Due in pools")
        yield from daily_words(book, pooled)
        yield para("To print: ", *listed(_prints(book, "")), ".")


def _by_week(book: Book, found: tuple[Due, ...]) -> Iterator[Block]:
    first = tuple(due for due in found if due.state in BEFORE_USE)
    if first:
        yield head("Before anything else", "first")
        yield due_table(book, first, caption="Overdue or never done: not to be used until it is done")
    weeks: dict[tuple[int, int], list[Due]] = {}
    for due in sorted((due for due in found if due.day and due not in first), key=lambda due: due.day or date.max):
        year, week, _ = (due.day or date.max).isocalendar()
        weeks.setdefault((year, week), []).append(due)
    for (year, week), here in weeks.items():
        yield head(f"Week {week} of {year}", f"week-{year}-{week:02}")
        yield due_table(book, here, caption=f"Due in week {week} of {year}")
    if not first and not weeks:
        yield para("Nothing falls due.")
    yield from daily_words(book, found)


# ---- files -------------------------------------------------------------------------


def _prints(book: Book, area: str) -> Iterator[Inlines]:
    for calendar in book.outputs.calendars:
        if calendar.area == area and area:
            yield (to(f"{FILE}{calendar.path}", "calendar"),)
    for sheet in book.outputs.log_sheets:
        if sheet.area == area:
            yield (to(f"{FILE}{sheet.path}", f"log sheet for {sheet.title}"),)


def _files(book: Book) -> Iterator[Block]:
    outputs = book.outputs
    yield head("Calendars", "calendars")
    yield para("A calendar program that reads one of these shows each check on the last day the last good one holds. "
               "Read it again after each release: the events move, and none comes twice.")  # fmt: skip
    rows = (
        (said(book.names[f"area:{one.area}"] if one.area else "the whole site"), (to(f"{FILE}{one.path}", one.path),))
        for one in outputs.calendars
    )
    yield table(("Calendar of", "File"), rows, empty="no calendar is made")
    yield head("Blank log sheets", "log-sheets")
    yield para("Unit, serial, cylinder, window and alarms are printed on them; the readings are written by hand.")
    yield _log_sheets(book)
    yield head("Labels for units", "labels")
    yield para("Print at full size; the last page shows the outlines of the labels. The code on a label stands on the "
               "unit's page too: when they differ, the label is out of date.")  # fmt: skip
    labels = (
        (said(pages.grid.id), said(pages.grid.paper), (to(f"{FILE}{pages.path}", pages.path),))
        for pages in outputs.labels
    )
    yield table(("Sheet", "Paper", "File"), labels, empty="the site names no sheet of labels")
    yield head("Tables", "tables")
    yield para("Comma-separated text for a spreadsheet: as printed, and exact beside it. A cell that a spreadsheet "
               "could run has an apostrophe in front.")  # fmt: skip
    tables = ((said(one.title), (to(f"{FILE}{one.path}", one.path),)) for one in outputs.tables)
    yield table(("Table", "File"), tables, empty="no table is made")


def _log_sheets(book: Book) -> Table:
    checks = tuple(book.program.checks.values())
    made = {(sheet.area, sheet.check): sheet for sheet in book.outputs.log_sheets}
    areas = [area for area in (*book.program.areas, "") if any(there == area for there, _ in made)]
    rows = (
        (
            (book.link("area", area),) if area else said("Units in pools"),
            *(
                (to(f"{FILE}{made[area, check.id].path}", "print"),) if (area, check.id) in made else said("none")
                for check in checks
            ),
        )
        for area in areas
    )
    return table(("Area", *(check.name for check in checks)), rows, empty="no unit is to be checked", kind="matrix")
