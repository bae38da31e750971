"""The index from A to Z: everything that can be looked up, for readers without script and on paper."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from builder.pages.blocks import Block, Code, Inlines, Link, Page
from builder.pages.handbook.entries import KINDS, Entry
from builder.pages.handbook.parts import head, page, para, said, table, to
from builder.pages.handbook.sections import path_of

OTHER = "0 to 9 and signs"


def search_page(entries: Iterable[Entry]) -> Page:
    """The page ``page:search``, to which the search field leads."""
    letters: dict[str, list[tuple[Inlines, ...]]] = {}
    words = dict(KINDS)
    for entry in sorted(entries, key=lambda entry: (folded(entry.title), entry.reference)):
        letters.setdefault(_letter(entry.title), []).append(_row(entry, words))
    blocks: list[Block] = []
    for letter in sorted(letters):
        blocks.append(head(letter))
        blocks.append(table(("Name", "What it is", "Also known as"), letters[letter], kind="lookup"))
    blocks += [head("Figures"), para("Every figure by its key: ", to("page:figures", "figures and sources"), ".")]
    return page(
        id="page:search",
        path=path_of("page:search"),
        title="Index",
        section="search",
        lead=said("Everything this handbook has a place for, by name, from A to Z."),
        blocks=blocks,
        in_pdf=False,
    )


def _row(entry: Entry, words: dict[str, str]) -> tuple[Inlines, ...]:
    title: Inlines = (Code(entry.title),) if entry.kind in ("unit", "cylinder") else said(entry.title)
    return (Link(entry.reference, title),), said(words[entry.kind]), said("; ".join(entry.words))


def _letter(title: str) -> str:
    first = folded(title)[:1].upper()
    return first if "A" <= first <= "Z" else OTHER


def folded(text: str) -> str:
    """Text as it is compared: no accents, no capitals, raised and lowered digits as plain ones."""
    parts = unicodedata.normalize("NFKD", text)
    return "".join(sign for sign in parts if not unicodedata.combining(sign)).casefold()
