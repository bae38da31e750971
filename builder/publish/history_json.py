"""What a later edition needs beside the ledger: words, cards, provenance."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from builder.history.chapters import ChaptersTold
from builder.history.edition import CARDS, TEXTS
from builder.history.ledger_files import FORMAT
from builder.pages.texts import CarriedTexts
from builder.program.revisions import Revision
from builder.publish.ledger_json import dump
from builder.publish.versions import versions


def texts_json(texts: CarriedTexts, facts: Mapping[str, Any]) -> bytes:
    """The words of procedures, alarm actions and forms."""
    return dump(
        {
            "format": FORMAT,
            **facts,
            "procedures": texts.procedures,
            "actions": texts.actions,
            "documents": texts.documents,
            "about": texts.about,
        }
    )


def cards_json(texts: CarriedTexts, facts: Mapping[str, Any]) -> bytes:
    """Every card with its code and its words."""
    return dump({"format": FORMAT, **facts, "cards": texts.cards})


def chapters_json(chapters: ChaptersTold, facts: Mapping[str, Any]) -> bytes:
    """Every chapter of every book: its pages, what it prints, and since which revision."""
    books = {book: [asdict(chapter) for chapter in told] for book, told in chapters.items()}
    return dump({"format": FORMAT, **facts, "books": books})


def history_files(texts: CarriedTexts, facts: Mapping[str, Any]) -> dict[str, bytes]:
    """The files of a site that later editions read."""
    return {TEXTS: texts_json(texts, facts), CARDS: cards_json(texts, facts)}


def entry_of(revision: Revision) -> dict[str, Any]:
    """What the content tells of a revision, by the names that ``about.json`` gives it."""
    return {
        "number": revision.number.value,
        "effective": revision.effective.value.isoformat(),
        "reason": revision.reason.value,
        "prepared": revision.prepared.value,
        "reviewed": revision.reviewed.value,
        "approved": revision.approved.value,
        "reviewed_on": revision.reviewed_on.value.isoformat() if revision.reviewed_on else None,
        "approved_on": revision.approved_on.value.isoformat() if revision.approved_on else None,
    }


def about_json(revision: Revision, as_of: str) -> bytes:
    """Who released it, when, why, and what it was made with."""
    return dump({"format": FORMAT, **entry_of(revision), "as_of": as_of, "versions": versions()})


def draft_json(as_of: str) -> bytes:
    """What a draft was made with, and the day it was judged on."""
    return dump({"format": FORMAT, "as_of": as_of, "versions": versions()})
