"""The index from A to Z: everything that can be looked up, for readers without script and on paper."""

import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import filterfalse
from typing import Final

from builder.pages.blocks import Block, Code, Inlines, Link
from builder.pages.compositions import Page
from builder.pages.handbook.entries import KINDS, LookupEntry
from builder.pages.handbook.handbook_context import index_page
from builder.pages.handbook.parts import Row, head, inlines, listed, page, para, table, to
from builder.pages.handbook.registers import even_runs

HEADS: Final = ("Name", "What it is", "Also known as")
OTHER = "0 to 9 and signs"


MANY_OF_A_KIND: Final = 200
"""A longer kind of thing, as units are, goes on pages of its own; the index names the first and last of each."""


def search_pages(entries: Iterable[LookupEntry]) -> Iterator[Page]:
    """The page ``page:search``, to which the search field leads, and the pages of kinds with very many things."""
    kinds: dict[str, list[LookupEntry]] = {}
    for entry in sorted(entries, key=lambda entry: (folded_text(entry.title), entry.reference)):
        kinds.setdefault(entry.kind, []).append(entry)
    runs = {kind: even_runs(found) for kind, found in kinds.items() if len(found) > MANY_OF_A_KIND}
    short = (entry for kind, found in kinds.items() if kind not in runs for entry in found)
    yield _index(short, runs)
    for kind, parts in runs.items():
        for number, found in enumerate(parts, start=1):
            yield _kind_page(kind, number, found)


def _reference(kind: str, number: int) -> str:
    return f"index:{kind}-{number}-"


def _span(found: Sequence[LookupEntry]) -> str:
    return f"{found[0].title} to {found[-1].title}"


def _kind_page(kind: str, number: int, found: Sequence[LookupEntry]) -> Page:
    words = dict(KINDS)
    reference = _reference(kind, number)
    return page(
        id=reference,
        title=f"Index: {words[kind]} {_span(found)}",
        section="search",
        lead=inlines("Everything of one kind, in the order of its names."),
        blocks=(table(HEADS, (_row(entry, words) for entry in found), kind="lookup"),),
    )


def _index(entries: Iterable[LookupEntry], runs: Mapping[str, Sequence[Sequence[LookupEntry]]]) -> Page:
    letters: dict[str, list[Row]] = {}
    words = dict(KINDS)
    for entry in sorted(entries, key=lambda entry: (folded_text(entry.title), entry.reference)):
        letters.setdefault(_letter(entry.title), []).append(_row(entry, words))
    blocks: list[Block] = []
    for kind, parts in runs.items():
        blocks.append(head(words[kind], f"kind-{kind}"))
        spans = (to(_reference(kind, number), _span(found)) for number, found in enumerate(parts, start=1))
        blocks.append(para(*listed(spans), "."))
    for letter in sorted(letters):
        blocks.append(head(letter))
        blocks.append(table(HEADS, letters[letter], kind="lookup"))
    blocks += [head("Figures"), para("Every figure by its key: ", to("page:figures", "figures and sources"), ".")]
    return index_page("search", inlines("Everything this handbook has a place for, by name, from A to Z."), blocks)


def _row(entry: LookupEntry, words: dict[str, str]) -> Row:
    title: Inlines = (Code(entry.title),) if entry.kind in ("unit", "cylinder") else inlines(entry.title)
    return Link(entry.reference, title), words[entry.kind], "; ".join(entry.words)


def _letter(title: str) -> str:
    first = folded_text(title)[:1].upper()
    return first if "A" <= first <= "Z" else OTHER


def folded_text(text: str) -> str:
    """Text as it is compared: no accents, no capitals, raised and lowered digits as plain ones."""
    if text.isascii():
        return text.casefold()
    parts = unicodedata.normalize("NFKD", text)
    return "".join(filterfalse(unicodedata.combining, parts)).casefold()
