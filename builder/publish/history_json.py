"""What a later edition and a verifier need beside the ledger: words, cards, numbers to be met again, provenance."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import Any

from builder.figures.ledger import Ledger
from builder.history.edition import CARDS, FIGURES, TEXTS, Edition, read_edition
from builder.pages.blocks import Card, Page, figures_in
from builder.pages.handbook.sections import SECTIONS
from builder.pages.hrefs import sheet_path
from builder.pages.outputs import Outputs
from builder.pages.plain import Words, card_cells, card_frame, digits, page_lines, whole
from builder.pages.texts import Texts, document_lines, texts_of
from builder.program.program import Program
from builder.program.revisions import Revision
from builder.publish.ledger_json import FORMAT, dump, figures_json
from builder.publish.versions import versions
from builder.render.drawn import drawn_words

NUMBERS = "numbers.json"


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
    pages: Sequence[Page],
    cards: Sequence[Card],
    ledger: Ledger,
    sections: Sequence[str],
    sheets: Callable[[Card], str],
    documents: Mapping[str, Iterable[str]],
) -> bytes:
    """For each page, card, sheet and the handbook the runs of digits that a reader of it must meet, in order.

    They are taken from the plain data before anything is drawn, so a drawing can be held against them.

    :param sections: ids in the order of the printed handbook.
    :param sheets: path of the sheets a card lies on.
    :param documents: path of each form and sheet of labels -> its words, in no certain order.
    """
    words = Words(ledger.figures)
    screen = Words(ledger.figures, partial(drawn_words, figures=ledger.figures, paper=False))
    made: dict[str, Any] = {}
    for page in pages:
        lines = page_lines(page, screen, crumbs=True)
        made[page.path] = {"whole": whole(page.blocks), "runs": digits(lines)}
    for card in cards:
        cells, frame = card_cells(card, ledger.figures), card_frame(card, ledger.figures)
        made[card.path] = {"whole": True, "cells": cells, "frame": frame}
        sheet = made.setdefault(sheets(card), {"whole": True, "cells": [], "frame": ""})
        labels = digits([card.name, card.code])
        sheet["cells"] += cells
        sheet["frame"] = f"{sheet['frame']} {frame} {labels}".strip()
    printed = sorted((page for page in pages if page.in_pdf), key=lambda page: sections.index(page.section))
    chapters = [{"title": page.title, "runs": digits(page_lines(page, words))} for page in printed]
    drawings = [digits(drawn_words(b, ledger.figures, paper=True)) for page in printed for b in page.blocks]
    drawings = [runs for runs in drawings if runs]
    made["handbook.pdf"] = {"whole": False, "chapters": chapters, "drawings": drawings}
    for path, text in documents.items():
        made[path] = {"whole": False, "bag": digits(text)}
    return dump({"format": FORMAT, "artefacts": made})


def history_files(
    program: Program,
    ledger: Ledger,
    pages: Sequence[Page],
    cards: Sequence[Card],
    outputs: Outputs,
    facts: Mapping[str, Any],
) -> dict[str, bytes]:
    """The files of a site that later editions and verifiers read."""
    texts = texts_of(program, ledger, pages, cards, outputs)
    paper = program.site.paper.value
    order = [section for section, _, _ in SECTIONS]
    return {
        TEXTS: texts_json(texts, facts),
        CARDS: cards_json(texts, facts),
        NUMBERS: numbers_json(
            pages,
            cards,
            ledger,
            order,
            lambda card: sheet_path(card.format, paper),
            document_lines(outputs, Words(ledger.figures)),
        ),
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


def edition_of(
    program: Program,
    ledger: Ledger,
    pages: Iterable[Page],
    cards: Iterable[Card],
    outputs: Outputs,
    facts: Mapping[str, Any],
) -> Edition:
    """The edition being made, told and read back by the same door as released ones."""
    pages, cards = tuple(pages), tuple(cards)
    prints = {page.path: tuple(figures_in(page)) for page in pages}
    prints |= {card.path: tuple(figures_in(card)) for card in cards}
    prints |= outputs.prints()
    texts = texts_of(program, ledger, pages, cards, outputs)
    files = {
        FIGURES: figures_json(ledger.figures, prints, facts),
        TEXTS: texts_json(texts, facts),
        CARDS: cards_json(texts, facts),
    }
    return read_edition(files.__getitem__, str(facts["revision"]))
