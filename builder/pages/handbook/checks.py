"""Checks: the plan, what falls due next, and one page a check."""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from typing import Final

from builder.figures.due_checks import DueCheck, State, is_asked_of
from builder.figures.figure import MONTHS as MONTH_NAMES
from builder.pages.blocks import Block, Inlines, Table
from builder.pages.compositions import Page
from builder.pages.handbook.asked_intervals import asked_table, less_strict, recommended
from builder.pages.handbook.corrections import window_table
from builder.pages.handbook.due_pages import daily_words, due_table
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.labels import CHECK_KINDS, capital, word
from builder.pages.handbook.parts import Row, assumes, facts, head, inlines, listed, page, para, table, to
from builder.pages.handbook.registers import PRESSING, by_place, many_cylinders, many_units, windows_elsewhere
from builder.pages.handbook.units import last_and_due
from builder.program.checks import Check
from builder.program.keys import families as keyed

FIRST_ROWS: Final = 100
"""Rows of what falls due first, on the page of checks of a big site."""
CLEAN_AIR: Final = (keyed.CLEAN_AIR_SHOWS, keyed.CLEAN_AIR_FROM, keyed.CLEAN_AIR_TO, keyed.CLEAN_AIR_REFUSED)
GUARDS: Final = {"cylinder-uncertainty": "checks.narrowed", "none": "checks.not-narrowed"}
"""Guard of a check to the text that tells of it."""


def check_pages(book: HandbookContext) -> Iterator[Page]:
    """The index and a page a check."""
    blocks: tuple[Block, ...] = (
        head("The plan"),
        _plan(book),
        head("What falls due, by day"),
        *_by_day(book),
        *_year(book, book.computed.due_checks),
        *_place_by_place(book),
    )
    yield index_page("checks", fixed("checks.lead", day=book.fig(keyed.AS_OF())), blocks)
    for check in book.program.checks.values():
        about: tuple[Block, ...] = (
            *book.found(f"check:{check.id}"),
            _facts(book, check),
            *asked_table(book, check),
            *_windows(book, check),
            *_units(book, check),
        )
        lead = inlines(f"{capital(word(CHECK_KINDS, check.kind))}.")
        yield page(f"check:{check.id}", check.name, "checks", lead, about)


def _plan(book: HandbookContext) -> Table:
    rows = (
        (book.link("check", check.id), _interval(book, check), check.reason.value, check.source.value)
        for check in book.program.checks.values()
    )
    return table(("Check", "How often", "Why", "Asked for by"), rows, empty="no check is planned")


def _interval(book: HandbookContext, check: Check) -> Inlines:
    """How often by the plan, what loses beside it, what readings recommend, and what models say of a part."""
    plan = book.interval(keyed.CHECK_INTERVAL(check=check.id), check.interval)
    plan = inlines(*plan, f" ({check.strictest.by.value})")
    beside = less_strict(tuple(asked for asked in check.intervals if not asked.models), check.strictest)
    plan = inlines(*plan, f"; also asked: {beside}") if beside else plan
    advice = recommended(book, tuple(book.program.units.values()), check)
    plan = inlines(*plan, "; the shortest that readings recommend: ", *advice) if advice else plan
    models = [asked.models[0] for asked in check.intervals if asked.models]
    if not models or check.part is None:
        return plan
    part = check.part.value
    stated = (
        inlines(book.link("model", name), " ", *book.fig(keyed.MODEL_PART(model=name, part=part))) for name in models
    )
    return inlines(*plan, "; by its model, where that is stricter: ", *listed(stated))


# ---- what falls due ------------------------------------------------------------------------


def _by_day(book: HandbookContext) -> tuple[Block, ...]:
    found = book.computed.due_checks
    views = (to("due:by-area", "by area"), to("due:by-week", "by week"))
    files = (to("due:files", "calendars, blank log sheets, labels and tables"),)
    return (
        *_pressing(book, found),
        *daily_words(book, found),
        *_recorded(book),
        para("The same ", *listed(views, mark=" and "), "; to print or take along: ", *files, "."),
    )


def _pressing(book: HandbookContext, found: tuple[DueCheck, ...]) -> tuple[Block, ...]:
    """What falls due; where that is much, only what is late or soon, and of that the most pressing."""
    if sum(due.state is not State.DAILY for due in found) <= FIRST_ROWS:
        return (due_table(book, found),)
    soon = sorted((due for due in found if due.state in PRESSING), key=lambda due: (due.day or date.min, due.unit.id))
    most = f"; the first {FIRST_ROWS} are" if len(soon) > FIRST_ROWS else ""
    return (para(fixed("checks.pressing", count=str(len(soon)), most=most)), due_table(book, soon[:FIRST_ROWS]))


MONTHS: Final = 13
"""Months of the calendar ahead, this one and the same of next year among them."""


def _year(book: HandbookContext, found: tuple[DueCheck, ...]) -> tuple[Block, ...]:
    """A row a month, a column a check: how many last days fall into it, so that months with much work are seen."""
    dated = [(due.check.id, due.day) for due in found if due.day is not None]
    if not dated:
        return ()
    today = book.ledger.today
    months = [divmod(today.year * 12 + today.month - 1 + ahead, 12) for ahead in range(MONTHS)]
    counts = Counter((check, (day.year, day.month - 1)) for check, day in dated if day >= today)
    late = Counter(check for check, day in dated if day < today)
    checks = [check for check in book.program.checks.values() if any(check.id == name for name, _ in dated)]
    rows: list[Row] = [("Overdue", *(str(late[check.id] or "") for check in checks))] if late else []
    rows += (
        (f"{MONTH_NAMES[month]} {year}", *(str(counts[check.id, (year, month)] or "") for check in checks))
        for year, month in months
    )
    columns = ("Last day in", *(check.name for check in checks))
    numeric = tuple(range(1, len(columns)))
    return (head("The year ahead"), table(columns, rows, numeric=numeric, kind="matrix"))


def _recorded(book: HandbookContext) -> tuple[Block, ...]:
    if not book.program.records:
        return ()
    return (para("What was done, month by month: ", to("page:records", "records"), "."),)


def _place_by_place(book: HandbookContext) -> tuple[Block, ...]:
    if not many_units(book):
        return (para(fixed("checks.not-used")),)
    return (head("How the checks stand, place by place"), by_place(book), para(fixed("checks.places")))


# ---- one check --------------------------------------------------------------------------------


def _facts(book: HandbookContext, check: Check) -> Block:
    procedures = [p.id for p in book.program.procedures.values() if check.id in {given.value for given in p.checks}]
    return facts(
        ("How often", _interval(book, check)),
        ("Why", check.reason.value),
        ("Asked for by", check.source.value),
        (
            "Due soon means within",
            book.interval(keyed.CHECK_DUE_SOON(check=check.id), check.due_soon) if check.due_soon else None,
        ),
        ("Gas flows for" if check.uses_gas else "Time", book.maybe(keyed.CHECK_GAS_TIME(check=check.id))),
        ("Alarms must sound within", book.maybe(keyed.CHECK_ALARMS_WITHIN(check=check.id))),
        ("Procedures", listed(book.links("procedure", procedures))),
        ("Cylinders", _bottles(book, check) if check.uses_gas else None),
    )


def _cylinders(book: HandbookContext, check: Check) -> tuple[str, ...]:
    cylinders = book.program.cylinders.values()
    return tuple(c.id for c in cylinders if check.id in {given.value for given in c.checks})


def _bottles(book: HandbookContext, check: Check) -> Inlines:
    names = _cylinders(book, check)
    if many_cylinders(book):
        return inlines(f"{len(names)}, see ", to("page:calibration-gas", "calibration gas"))
    return listed(book.links("cylinder", names))


def _tolerances(book: HandbookContext, check: Check) -> Iterator[Row]:
    edges = (keyed.CHECK_WINDOW_ABSOLUTE, keyed.CHECK_WINDOW_RELATIVE)
    for channel in check.window:
        parts = (book.maybe(edge(check=check.id, channel=channel)) or inlines("none") for edge in edges)
        yield (book.channel(channel), *parts)


def _clean_air(book: HandbookContext, check: Check) -> tuple[Block, ...]:
    rows = (
        (book.channel(channel), *(book.fig(family(check=check.id, channel=channel)) for family in CLEAN_AIR))
        for channel in check.clean_air
    )
    if not check.clean_air:
        return (para(fixed("checks.no-clean-air")),)
    heads = ("Channel", "Clean air shows", "Left alone from", "to", "Never zeroed when farther off than")
    return head("Clean air"), table(heads, rows, numeric=(1, 2, 3, 4)), para(fixed("checks.clean-air"))


def _windows(book: HandbookContext, check: Check) -> tuple[Block, ...]:
    if not check.uses_gas:
        return _clean_air(book, check) if check.kind == "zero" else ()
    windows: Block = windows_elsewhere()
    if not many_cylinders(book):
        windows = window_table(book, _cylinders(book, check), (check.id,), "Acceptance windows")
    return (
        head("What passes"),
        table(
            ("Channel", "At least", "Or of the expected display"),
            _tolerances(book, check),
            numeric=(1, 2),
            caption="Tolerances: the greater of the two",
        ),
        windows,
        assumes(fixed(GUARDS[check.guard])),
    )


def _units(book: HandbookContext, check: Check) -> tuple[Block, ...]:
    if many_units(book):
        return (head("Units"), by_place(book, only=check.id))
    rows = (
        (book.link("unit", unit.id), book.place(unit), *last_and_due(book, unit, check.id))
        for unit in book.program.units.values()
        if unit.checked and is_asked_of(book.program, unit, check)
    )
    columns = ("Unit", "Place", "Last good one", "Good through")
    return (
        head("Units"),
        table(columns, rows, numeric=(2, 3), empty="no unit is asked for it"),
        para(fixed("checks.left-out")),
    )
