"""What a later edition and a verifier need beside the ledger: words, cards, numbers to be met again, provenance."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.history.edition import CARDS, FIGURES, TEXTS, Edition, read_edition
from builder.pages.blocks import Card, Page, figures_in
from builder.pages.hrefs import sheet_path
from builder.pages.outputs import Outputs
from builder.pages.plain import Words, card_cells, card_frame, digits, page_lines, whole
from builder.pages.texts import Texts, document_lines, texts_of
from builder.program.program import Program
from builder.program.revisions import Revision
from builder.program.sheet_setting import SheetSetting
from builder.publish.ledger_json import FORMAT, dump, figures_json
from builder.publish.papers_json import book_runs, paper_runs
from builder.publish.versions import versions
from builder.render.drawn import drawn_words, form_words

if TYPE_CHECKING:
    from builder.render.site import Book

NUMBERS = "numbers.json"
BOOK = "handbook.pdf"


def texts_json(texts: Texts, facts: Mapping[str, Any]) -> bytes:
    """The words of procedures, alarm actions and forms."""
    return dump(
        {
            "format": FORMAT,
            **facts,
            "procedures": texts.procedures,
            "actions": texts.actions,
            "documents": texts.documents,
        }
    )


def cards_json(texts: Texts, facts: Mapping[str, Any]) -> bytes:
    """Every card with its code and its words."""
    return dump({"format": FORMAT, **facts, "cards": texts.cards})


def numbers_json(
    pages: Sequence[Page], cards: Sequence[Card], outputs: Outputs, book: Book, paper: str, sheets: SheetSetting
) -> bytes:
    """For each page, card, sheet, form and the handbook the runs of digits that a reader of it must meet, in order.

    They are taken twice before anything is drawn, so a drawing can be held against them: from the plain data what the
    handbook says, and from the documents handed to the engine every run there is (:mod:`builder.publish.papers_json`).

    :param book: the printed handbook; its pages may be others than those of the site.
    """
    figures = book.figures
    screen = Words(figures, partial(drawn_words, figures=figures, paper=False))
    made: dict[str, Any] = {}
    for page in pages:
        lines = page_lines(page, screen, crumbs=True)
        made[page.path] = {"whole": whole(page.blocks), "runs": digits(lines)}
        forms = digits(form_words(page.blocks, figures))
        made[page.path] |= {"forms": forms} if forms else {}
    for card in cards:
        cells, frame = card_cells(card, figures), card_frame(card, figures)
        made[card.path] = {"cells": cells, "frame": frame}
        sheet = made.setdefault(sheet_path(card.format, paper), {"cells": [], "frame": ""})
        labels = digits([card.name, card.code])
        sheet["cells"] += cells
        sheet["frame"] = f"{sheet['frame']} {frame} {labels}".strip()
    for path, text in document_lines(outputs, figures).items():
        made[path] = {"bag": digits(text)}
    for path, runs in paper_runs(cards, outputs, figures, paper, sheets).items():
        made[path] |= runs
    made[BOOK] = book_numbers(book)
    return dump({"format": FORMAT, "artefacts": made})


def book_numbers(book: Book) -> dict[str, Any]:
    """What a reader of a printed book must meet: by chapter and drawing, and every run there is."""
    sections = [section.id for section in book.sections]
    printed = sorted((page for page in book.pages if page.in_pdf), key=lambda page: sections.index(page.section))
    words = Words(book.figures)
    chapters = [{"id": page.id, "title": page.title, "runs": digits(page_lines(page, words))} for page in printed]
    drawings = [digits(drawn_words(b, book.figures, paper=True)) for page in printed for b in page.blocks]
    return {"chapters": chapters, "drawings": [runs for runs in drawings if runs], **book_runs(book)}


def history_files(
    program: Program,
    ledger: Ledger,
    pages: Sequence[Page],
    cards: Sequence[Card],
    outputs: Outputs,
    facts: Mapping[str, Any],
    book: Book,
) -> dict[str, bytes]:
    """The files of a site that later editions and verifiers read."""
    texts = texts_of(program, ledger, pages, cards, outputs)
    return {
        TEXTS: texts_json(texts, facts),
        CARDS: cards_json(texts, facts),
        NUMBERS: numbers_json(pages, cards, outputs, book, program.site.paper.value, program.sheets),
    }


def about_json(revision: Revision, as_of: str) -> bytes:
    """Who released it, when, why, and what it was made with."""
    return dump(
        {
            "format": FORMAT,
            "number": revision.number.value,
            "effective": revision.effective.value.isoformat(),
            "reason": revision.reason.value,
            "prepared": revision.prepared.value,
            "reviewed": revision.reviewed.value,
            "approved": revision.approved.value,
            "as_of": as_of,
            "versions": versions(),
        }
    )


def draft_json(as_of: str) -> bytes:
    """What a draft was made with, and the day it was judged on."""
    return dump({"format": FORMAT, "as_of": as_of, "versions": versions()})


def edition_of(
    program: Program,
    ledger: Ledger,
    pages: Iterable[Page],
    cards: Iterable[Card],
    outputs: Outputs,
    facts: Mapping[str, Any],
    *,
    numbers: bool = True,
) -> Edition:
    """The edition being made, told and read back by the same door as released ones.

    :param numbers: False leaves out all figures but those of cards, where no figures are to be compared: on a big
        site they take most of the time.
    """
    pages, cards = tuple(pages), tuple(cards)
    figures: Mapping[str, Figure] = ledger.figures
    prints: dict[str, tuple[str, ...]] = {}
    if numbers:
        prints = {page.path: tuple(figures_in(page)) for page in pages}
        prints |= {card.path: tuple(figures_in(card)) for card in cards}
        prints |= outputs.prints()
    else:
        figures = {figure.key: figure for figure in ledger.under("card")}
    texts = texts_of(program, ledger, pages, cards, outputs)
    files = {
        FIGURES: figures_json(figures, prints, facts),
        TEXTS: texts_json(texts, facts),
        CARDS: cards_json(texts, facts),
    }
    return read_edition(files.__getitem__, str(facts["revision"]))
