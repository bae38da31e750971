"""Lists that only the bench book has: models at one glance, checks, bottles with their windows, and blank forms."""

from collections.abc import Iterator

from builder.base.grouping import grouped
from builder.pages.blocks import Block, Inlines
from builder.pages.books.selection import FORMS
from builder.pages.compositions import Page
from builder.pages.handbook.corrections import WINDOW
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import Row, head, inlines, listed, page, para, table
from builder.pages.handbook.sections import path_of
from builder.program.cylinders import Cylinder
from builder.program.keys import families as keyed


def bench_pages(book: HandbookContext) -> Iterator[Page]:
    """Each of them, where there is anything to list."""
    yield _models(book)
    yield _checks(book)
    yield _bottles(book)
    if book.outputs.log_sheets or book.outputs.labels:
        yield _forms(book)


def _models(book: HandbookContext) -> Page:
    units = [unit.model.value for unit in book.program.units.values()]
    rows = (
        (
            book.link("model", model.id),
            "pumped" if model.pump else "diffusion",
            listed((inlines(book.channel_name(s.channel.value)) for _, s in book.program.fitted(model)), mark=", "),
            str(units.count(model.id)),
        )
        for model in book.program.models.values()
    )
    return page(
        "overview:models",
        "Models",
        "detectors",
        inlines("What the site has, and what each measures."),
        (table(("Model", "Air reaches it by", "Measures", "Units"), rows, numeric=(3,)),),
        path=path_of("page:detectors"),
    )


def _checks(book: HandbookContext) -> Page:
    rows = (
        (
            book.link("check", check.id),
            book.interval(keyed.CHECK_INTERVAL(check=check.id), check.interval),
            check.reason.value,
        )
        for check in book.program.checks.values()
    )
    return page(
        "overview:checks",
        "The plan of checks",
        "checks",
        inlines("Which checks the site makes, how often and why. What is due today is in the handbook on screen."),
        (table(("Check", "How often", "Why"), rows, empty="no check is planned"),),
        path=path_of("page:checks"),
    )


def _bottles(book: HandbookContext) -> Page:
    """Bottles of the same gas and the same windows together, so that a window is printed once."""
    alike = grouped(book.program.bottles, lambda cylinder: tuple(_told(book, cylinder)))
    blocks = [block for group in alike.values() for block in _group(book, group)]
    return page(
        "overview:bottles",
        "Bottles and what must be displayed",
        "calibration-gas",
        inlines("Before use compare the lot on the bottle with this list. A reading outside its window has failed."),
        blocks or (para("No bottle is listed."),),
        path="bottles",
    )


def _told(book: HandbookContext, cylinder: Cylinder) -> Iterator[str]:
    """All that a group shares, as it is printed."""
    for part in cylinder.components:
        yield f"{part.gas.value} {_printed(book, keyed.CYLINDER_GAS(cylinder=cylinder.id, gas=part.gas.value))}"
    for sensor, check in _windows(book, cylinder):
        keys = (family(cylinder=cylinder.id, sensor=sensor, check=check) for family in WINDOW)
        yield " ".join((sensor, check, *(_printed(book, key) for key in keys)))


def _printed(book: HandbookContext, key: str) -> str:
    figure = book.ledger.get(key)
    return figure.printed if figure else ""


def _windows(book: HandbookContext, cylinder: Cylinder) -> Iterator[tuple[str, str]]:
    """Sensor and check of every window that a cylinder has."""
    for given in cylinder.checks:
        for sensor in book.program.sensors:
            if keyed.WINDOW_FROM(cylinder=cylinder.id, sensor=sensor, check=given.value) in book.ledger:
                yield sensor, given.value


def _group(book: HandbookContext, group: list[Cylinder]) -> Iterator[Block]:
    first = group[0]
    contents = (
        inlines(
            book.names[f"gas:{part.gas.value}"],
            " ",
            *book.fig(keyed.CYLINDER_GAS(cylinder=first.id, gas=part.gas.value)),
        )
        for part in first.components
    )
    yield head(", ".join(cylinder.id for cylinder in group))
    bottles = (
        (
            cylinder.id,
            cylinder.lot.value,
            book.fig(keyed.CYLINDER_EXPIRES(cylinder=cylinder.id)),
            book.fig(keyed.CYLINDER_STOP_AT(cylinder=cylinder.id), absent="not entered"),
            book.fig(keyed.CYLINDER_FLOW(cylinder=cylinder.id), absent="not entered"),
            cylinder.location or "",
        )
        for cylinder in group
    )
    yield table(("Bottle", "Lot", "Last day of use", "Stop using it at", "Flow", "Kept at"), bottles)
    yield para(*listed(contents), "; balance ", first.balance.value, ".")
    checks = tuple(dict.fromkeys(check for _, check in _windows(book, first)))
    if checks:
        columns = ("Sensor", "Expected display", *(f"{book.names[f'check:{check}']} passes" for check in checks))
        yield table(columns, _passing(book, first, checks), numeric=tuple(range(1, len(columns))))


def _passing(book: HandbookContext, cylinder: Cylinder, checks: tuple[str, ...]) -> Iterator[Row]:
    """A row for each sensor and what it is to show, with the window of every check beside it."""
    found: dict[tuple[str, str], dict[str, Inlines]] = {}
    for sensor, check in _windows(book, cylinder):
        expected, low, high = (family(cylinder=cylinder.id, sensor=sensor, check=check) for family in WINDOW)
        row = found.setdefault((sensor, _printed(book, expected)), {"": book.fig(expected)})
        row[check] = inlines(*book.fig(low, bare=True), " to ", *book.fig(high))
    for (sensor, _), row in found.items():
        yield book.link("sensor", sensor), *(row.get(name, inlines("–")) for name in ("", *checks))


def _forms(book: HandbookContext) -> Page:
    """Every form once, with the places it is made for."""
    found: dict[str, dict[str, None]] = {}
    for sheet in book.outputs.log_sheets:
        found.setdefault(sheet.title, {})[sheet.place] = None
    for labels in book.outputs.labels:
        found.setdefault("Labels", {})[labels.name] = None
    rows = ((form, listed(inlines(place) for place in places)) for form, places in found.items())
    return page(
        FORMS,
        "Forms to print",
        "checks",
        inlines("Blank log sheets and labels; they are in the folders “forms” and “labels” of the handbook."),
        (table(("Form", "Made for"), rows),),
        path=path_of("due:files"),
    )
