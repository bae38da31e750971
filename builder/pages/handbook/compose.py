"""Program, figures and findings to every page of the handbook, in reading order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from builder.base.finding import Finding
from builder.figures.ledger import Ledger
from builder.pages.blocks import Page, figures_in
from builder.pages.handbook.areas import area_pages
from builder.pages.handbook.book import Book, Literal, ProseBlocks, names_of
from builder.pages.handbook.cards import card_pages
from builder.pages.handbook.checks import check_pages
from builder.pages.handbook.conversions import conversion_pages
from builder.pages.handbook.cylinders import cylinder_pages
from builder.pages.handbook.derivations import Uses, derivation_pages, index_page
from builder.pages.handbook.detectors import detector_pages
from builder.pages.handbook.findings import finding_pages
from builder.pages.handbook.gases import gas_pages
from builder.pages.handbook.home import home_page
from builder.pages.handbook.procedures import procedure_pages
from builder.pages.handbook.prose_pages import cautions_page, program_page, prose_pages
from builder.pages.handbook.sections import SECTIONS
from builder.pages.handbook.setpoints import setpoint_pages
from builder.pages.handbook.units import unit_pages
from builder.program.program import Program

__all__ = ["SECTIONS", "compose_pages"]


def compose_pages(
    program: Program,
    ledger: Ledger,
    findings: tuple[Finding, ...],
    prose: ProseBlocks,
    card_codes: Mapping[str, str],
    *,
    literals: Callable[[], Iterable[Literal]] = tuple,
    printed_elsewhere: Mapping[str, tuple[str, ...]] | None = None,
) -> tuple[Page, ...]:
    """Every page, in reading order.

    :param prose: makes blocks of prose; it is called while pages are composed.
    :param card_codes: card id to the short code printed on it.
    :param literals: asked once all prose is resolved; gives the numbers typed by hand on purpose.
    :param printed_elsewhere: figure key to references (``card:ID``) of what prints it beside these pages.
    """
    book = Book(
        program=program, ledger=ledger, findings=findings, prose=prose, card_codes=card_codes, names=names_of(program)
    )
    before, about = _before(book), _about(book)
    index = index_page(replace(book, literals=tuple(literals())))
    uses = _uses(book, (*before, index, *about), printed_elsewhere or {})
    return (*before, index, *derivation_pages(book, uses), *about)


def _before(book: Book) -> tuple[Page, ...]:
    return (
        home_page(book),
        *prose_pages(book, "home"),
        *area_pages(book),
        *setpoint_pages(book),
        *gas_pages(book),
        *conversion_pages(book),
        *detector_pages(book),
        *unit_pages(book),
        *cylinder_pages(book),
        *check_pages(book),
        *procedure_pages(book),
        *card_pages(book),
        program_page(book),
        *prose_pages(book, "program"),
        *finding_pages(book),
    )


def _about(book: Book) -> tuple[Page, ...]:
    return (cautions_page(book), *prose_pages(book, "about"))


def _uses(book: Book, pages: tuple[Page, ...], elsewhere: Mapping[str, tuple[str, ...]]) -> Uses:
    printed: dict[str, dict[str, None]] = {}
    for page in pages:
        for key in figures_in(page):
            printed.setdefault(key, {})[page.id] = None
    for key, references in elsewhere.items():
        printed.setdefault(book.ledger.resolve(key) or key, {}).update(dict.fromkeys(references))
    titles = {reference: f"Card: {name}" for reference, name in book.names.items() if reference.startswith("card:")}
    titles |= {page.id: page.title for page in pages}
    return Uses(
        made=book.ledger.users(),
        printed_on={key: tuple(references) for key, references in printed.items()},
        titles=titles,
    )
