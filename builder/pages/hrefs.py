"""Where every reference of the handbook leads."""

from collections.abc import Iterable

from builder.figures.ledger import Ledger
from builder.pages.blocks import FILE
from builder.pages.books.book import BOOK, book_path
from builder.pages.compositions import Card, Page
from builder.pages.handbook.figure_pages import FigurePages
from builder.pages.handbook.glossary import all_terms
from builder.pages.handbook.sections import card_anchor, path_of, sheet_reference
from builder.program.cards import SIGNS, CardSpec
from builder.program.site import PAPERS

LATE = ("page:status", "page:differences")
"""Pages that are composed once all others are; those may lead to them before."""


def hrefs(
    pages: Iterable[Page], ledger: Ledger, told_on: FigurePages, cards: Iterable[Card | CardSpec]
) -> dict[str, str]:
    """Reference to site path: pages, figures (by key and alias), cards and their files, sheets, files, books.

    :param told_on: which page tells the derivation of a figure.
    """
    pages = tuple(pages)
    made = {reference: path_of(reference) for reference in LATE} | {page.id: page.path for page in pages}
    made |= {reference: f"{page.path}#{anchor}" for page in pages for reference, anchor in page.holds}
    for target in (target for page in pages for target in page.links):
        if target.startswith(FILE):
            made[target] = target.removeprefix(FILE)
        elif target.startswith(BOOK):
            made[target] = book_path(target.removeprefix(BOOK))
    made.update((f"figure:{key}", told_on.path(key)) for key in ledger.figures)
    made.update((f"figure:{alias}", told_on.path(key)) for alias, key in ledger.aliases.items())
    for card in cards:
        made[f"card:{card.id}"] = f"{path_of('page:cards')}#{card_anchor(card.id)}"
        made[f"card-pdf:{card.name}"] = f"cards/{card.name}.pdf"
        for paper in () if card.format in SIGNS else PAPERS:
            made[sheet_reference(card.format, paper)] = sheet_path(card.format, paper)
    for term in all_terms():
        made[f"term:{term.id}"] = f"{path_of('page:glossary')}#{term.id}"
    return made


def sheet_path(card_format: str, paper: str) -> str:
    """The file of the cards of one format set out on sheets of a paper.

    >>> sheet_path("A7", "A4")
    'cards/sheets/a7-on-a4.pdf'
    """
    return f"cards/sheets/{card_format.lower()}-on-{paper.lower()}.pdf"
