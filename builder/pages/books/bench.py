"""Lists that only the bench book has: models at one glance, checks, and blank forms."""

from __future__ import annotations

from collections.abc import Iterator

from builder.pages.blocks import Page
from builder.pages.books.selection import FORMS
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import inlines, listed, page, table
from builder.pages.handbook.sections import path_of
from builder.program.keys.families import CHECK_INTERVAL


def bench_pages(book: HandbookContext) -> Iterator[Page]:
    """Each of them, where there is anything to list."""
    yield _models(book)
    yield _checks(book)
    if book.outputs.log_sheets or book.outputs.labels:
        yield _forms(book)


def _models(book: HandbookContext) -> Page:
    units = [unit.model.value for unit in book.program.units.values()]
    rows = (
        (
            (book.link("model", model.id),),
            inlines("pumped" if model.pump else "diffusion"),
            listed((inlines(book.channel_name(s.channel.value)) for _, s in book.program.fitted(model)), mark=", "),
            inlines(str(units.count(model.id))),
        )
        for model in book.program.models.values()
    )
    return page(
        id="overview:models",
        path=path_of("page:detectors"),
        title="Models",
        section="detectors",
        lead=inlines("What the site has, and what each measures."),
        blocks=(table(("Model", "Air reaches it by", "Measures", "Units"), rows, numeric=(3,)),),
    )


def _checks(book: HandbookContext) -> Page:
    rows = (
        (
            (book.link("check", check.id),),
            book.interval(CHECK_INTERVAL(check=check.id), check.interval),
            inlines(check.reason.value),
        )
        for check in book.program.checks.values()
    )
    return page(
        id="overview:checks",
        path=path_of("page:checks"),
        title="The plan of checks",
        section="checks",
        lead=inlines(
            "Which checks the site makes, how often and why. What is due today stands in the handbook itself."
        ),
        blocks=(table(("Check", "How often", "Why"), rows, empty="no check is planned"),),
    )


def _forms(book: HandbookContext) -> Page:
    """Every form once, with the places it is made for."""
    found: dict[str, dict[str, None]] = {}
    for sheet in book.outputs.log_sheets:
        found.setdefault(sheet.title, {})[sheet.place] = None
    for labels in book.outputs.labels:
        found.setdefault("Labels", {})[labels.grid.id] = None
    rows = ((inlines(form), listed(inlines(place) for place in places)) for form, places in found.items())
    return page(
        id=FORMS,
        path=path_of("due:files"),
        title="Forms to print",
        section="checks",
        lead=inlines("Blank log sheets and labels; they stand in the folders “forms” and “labels” of the handbook."),
        blocks=(table(("Form", "Made for"), rows),),
    )
