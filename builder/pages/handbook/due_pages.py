"""What falls due by area and by week, and everything the checks give to print or to take into other programs."""

from collections.abc import Iterable, Iterator
from datetime import date

from builder.base.grouping import grouped
from builder.figures.due_checks import LATE, DueCheck, State
from builder.pages.blocks import FILE, Block, Inlines, Table
from builder.pages.compositions import Page
from builder.pages.forms import LogSheet
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import head, inlines, listed, page, para, table, to
from builder.pages.handbook.registers import by_place, due_day, even_runs, many_units, prints, state_words
from builder.program.keys.families import AS_OF

FIRST = "Overdue or not shown good: not to be used until it is done"


def due_pages(book: HandbookContext) -> Iterator[Page]:
    """The two further lists, and the page of files; the book on paper has the list by day already."""
    found = book.computed.due_checks
    counted = inlines("Counted from ", *book.fig(AS_OF()), ". ")
    yield _page(
        "by-area",
        "Checks due by area",
        inlines(counted, fixed("due.by-area")),
        _areas(book, found) if many_units(book) else _by_area(book, found),
    )
    yield _page(
        "by-week",
        "Checks due by week",
        inlines(counted, fixed("due.by-week")),
        _weeks(book, found) if many_units(book) else _by_week(book, found),
    )
    yield from _list_pages(book, found) if many_units(book) else ()
    yield _page("files", "Calendars, log sheets, labels and tables", fixed("due.files"), _files(book))


def _page(name: str, title: str, lead: Inlines, blocks: Iterable[Block]) -> Page:
    reference = f"due:{name}"
    return page(reference, title, "checks", lead, blocks)


# ---- lists -------------------------------------------------------------------------


def due_table(book: HandbookContext, found: Iterable[DueCheck], *, place: bool = True, caption: str = "") -> Table:
    """Dated checks, the most pressing first; those before each day's use are left to the words around it."""
    dated = sorted(
        (due for due in found if due.state is not State.DAILY),
        key=lambda due: (due.day or date.min, due.unit.id, due.check.id),
    )
    columns = ("Good through", "Unit", "Check", *(("Place",) if place else ()), "When built")
    rows = (
        (
            due_day(due),
            book.link("unit", due.unit.id),
            due.check.name,  # without a link: some hundred rows have the same few
            *((book.place(due.unit),) if place else ()),
            state_words(due),
        )
        for due in dated
    )
    return table(columns, rows, caption=caption, empty="nothing falls due")


def daily_words(book: HandbookContext, found: Iterable[DueCheck]) -> tuple[Block, ...]:
    """Which checks are made before each day's use; nothing when none is."""
    daily = dict.fromkeys(due.check.id for due in found if due.state is State.DAILY)
    if not daily:
        return ()
    return (para("Before each day's use, whatever the calendar says: ", *listed(book.links("check", daily)), "."),)


def _by_area(book: HandbookContext, found: tuple[DueCheck, ...]) -> Iterator[Block]:
    if not found:
        yield para("No unit is in a state in which checks fall due.")
    for area in book.program.areas.values():
        here = tuple(due for due in found if due.unit.area is not None and due.unit.area.value == area.id)
        if here:
            yield head(area.name, f"area-{area.id}")
            yield due_table(book, here, place=False, caption=f"Due in {area.name}")
            yield from daily_words(book, here)
            yield para("To print or take along: ", *listed(prints(book, area.id)), ".")
    pooled = tuple(due for due in found if due.unit.area is None)
    if pooled:
        yield head("Units in pools", "pools")
        yield due_table(book, pooled, caption="Due in pools")
        yield from daily_words(book, pooled)
        yield para("To print: ", *listed(prints(book, "")), ".")


def _by_week(book: HandbookContext, found: tuple[DueCheck, ...]) -> Iterator[Block]:
    for name, title, caption, here in _in_weeks(found):
        yield head(title, name)
        yield due_table(book, here, caption=caption)
    if all(due.state is State.DAILY for due in found):
        yield para("Nothing falls due.")
    yield from daily_words(book, found)


def _in_weeks(found: tuple[DueCheck, ...]) -> Iterator[tuple[str, str, str, list[DueCheck]]]:
    """What comes before any use, and the rest by week: name, title, caption and checks, the most pressing first."""
    dated = sorted(found, key=lambda due: (due.day or date.min, due.unit.id, due.check.id))
    first = [due for due in dated if due.state in LATE]
    if first:
        yield "first", "Before anything else", FIRST, first
    later = (due for due in dated if due.day and due.state not in LATE)
    for (year, week), here in grouped(later, lambda due: (due.day or date.min).isocalendar()[:2]).items():
        yield f"week-{year}-{week:02}", f"Week {week} of {year}", f"Due in week {week} of {year}", here


# ---- a big site: one page a place or a week ------------------------------------------


def _areas(book: HandbookContext, found: tuple[DueCheck, ...]) -> Iterator[Block]:
    yield by_place(book, columns=("To print or take along",), more=lambda place: (listed(prints(book, place.area)),))
    yield para(fixed("due.places"))
    yield from daily_words(book, found)


def _lists(found: tuple[DueCheck, ...]) -> Iterator[tuple[str, str, str, tuple[DueCheck, ...]]]:
    """Reference, title, caption and checks of each page of the list by week."""
    for name, title, caption, listed_there in _in_weeks(found):
        parts = even_runs(listed_there)
        for number, part in enumerate(parts, start=1):
            told = f"{title}, part {number}" if len(parts) > 1 else title
            yield f"{name}-{number}-", told, caption, part


def _weeks(book: HandbookContext, found: tuple[DueCheck, ...]) -> Iterator[Block]:
    rows = (
        (to(f"due:{name}", title), str(len(here)), due_day(here[0]), due_day(here[-1]))
        for name, title, _, here in _lists(found)
    )
    columns = ("List", "Checks", "The first is good through", "The last")
    yield table(columns, rows, numeric=(1, 2, 3), empty="nothing falls due")
    yield from daily_words(book, found)


def _list_pages(book: HandbookContext, found: tuple[DueCheck, ...]) -> Iterator[Page]:
    for name, title, caption, here in _lists(found):
        lead = inlines("Checks and the last day they hold, counted from ", *book.fig(AS_OF()), ".")
        yield _page(name, f"Checks due: {title}", lead, (due_table(book, here, caption=caption),))


# ---- files -------------------------------------------------------------------------


def _files(book: HandbookContext) -> Iterator[Block]:
    outputs = book.outputs
    yield head("Calendars", "calendars")
    yield para(fixed("due.calendars"))
    rows = (
        (book.names[f"area:{one.area}"] if one.area else "the whole site", to(f"{FILE}{one.path}", one.path))
        for one in outputs.calendars
    )
    yield table(("Calendar of", "File"), rows, empty="no calendar is made")
    yield head("Blank log sheets", "log-sheets")
    yield para(fixed("due.log-sheets"))
    yield _log_sheets(book)
    yield from _test_sheets(book)
    yield head("Labels for units", "labels")
    yield para(fixed("due.labels"))
    labels = ((pages.name, pages.grid.paper, to(f"{FILE}{pages.path}", pages.path)) for pages in outputs.labels)
    yield table(("Sheet", "Paper", "File"), labels, empty="the site names no sheet of labels")
    yield head("Tables", "tables")
    yield para(fixed("due.tables"))
    tables = ((one.title, to(f"{FILE}{one.path}", one.path)) for one in outputs.tables)
    yield table(("Table", "File"), tables, empty="no table is made")
    yield para("What falls due, to read here: ", to("page:checks", "checks due"), ".")


def _log_sheets(book: HandbookContext) -> Table:
    checks = tuple(book.program.checks.values())
    made: dict[tuple[str, str], list[LogSheet]] = {}
    for sheet in book.outputs.log_sheets:
        for check in sheet.checks:
            made.setdefault((sheet.area, check), []).append(sheet)
    areas = [area for area in (*book.program.areas, "") if any(there == area for there, _ in made)]
    rows = (
        (
            book.link("area", area) if area else "Units in pools",
            *(listed(_in_language(sheet) for sheet in made.get((area, check.id), ())) for check in checks),
        )
        for area in areas
    )
    return table(("Area", *(check.name for check in checks)), rows, empty="no unit is to be checked", kind="matrix")


def _test_sheets(book: HandbookContext) -> Iterator[Block]:
    """Sheets for tests of the air, which belong to no check."""
    made = [sheet for sheet in book.outputs.log_sheets if not sheet.checks]
    if made:
        rows = ((book.link("area", sheet.area), sheet.title, _in_language(sheet)) for sheet in made)
        yield table(("Area", "Sheet", "File"), rows, caption="Sheets for tests of the air")


def _in_language(sheet: LogSheet) -> Inlines:
    return (to(f"{FILE}{sheet.path}", "print" if sheet.name == sheet.id else f"print ({sheet.language})"),)
