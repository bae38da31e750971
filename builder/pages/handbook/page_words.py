"""The words of every page and card, as the search finds them by; figures have an index of their own."""

import re
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from typing import Any, Final, TypeAlias

from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.blocks import Block, Heading, ItemList, Notice
from builder.pages.compositions import Card, Page
from builder.pages.handbook.entries import folded_text
from builder.pages.plain import Words, card_lines

KINDS_BY_USE: Final = ("area", "procedure", "card", "check", "page", "gas", "sensor", "model", "cylinder", "unit")
"""Kinds of pages, those first that tell a worker what to do; the search weighs them in this order."""
LISTED: Final = ("figures:", "keys:", "index:", "page:search")
"""Pages that list what is found by its own name or key."""
WORD: Final = re.compile(r"[^\W_]+")
Told: TypeAlias = Sequence[Any]
"""(heading, its anchor or nothing) in reading order, each once; and every word: also as lists, where it was kept."""
LETTER: Final = re.compile(r"[^\W\d_]")
SHORTEST: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class WordedPage:
    """One page or card with its words."""

    reference: str
    kind: str
    """One of ``KINDS_BY_USE``."""
    title: str
    heads: tuple[tuple[str, str], ...]
    """(heading, its anchor or nothing), in reading order, each once."""
    words: tuple[str, ...]
    """Every word that has a letter, without accents and capitals, sorted."""


def worded_pages(
    pages: Iterable[Page],
    cards: Iterable[Card],
    figures: Mapping[str, Figure],
    parts: Container[str] = (),
    known: Mapping[str, Told] | None = None,
) -> tuple[WordedPage, ...]:
    """Every page and card by kind; those of a kind that share their words stand together.

    :param parts: references of pages that stand on others; an answer leads to their own heading there.
    :param known: reference of a page that stands by itself -> what ``words_on`` tells of it.
    """
    made = []
    for page in pages:
        told = (known or {}).get(page.id) or words_on(page, figures)
        if told:
            made.append(_of_page(page, told, whole=page.id not in parts))
    made += [_of_card(card, figures) for card in cards]
    return tuple(sorted(made, key=lambda one: (KINDS_BY_USE.index(one.kind), one.words, one.title)))


def words_on(page: Page, figures: Mapping[str, Figure]) -> Told | None:
    """Headings and words of a page, nothing of one that is not looked through."""
    if page.id.startswith(LISTED):
        return None
    words = Words(figures)
    heads = {words.inline(head.content): head.anchor for head in reversed([*_heads(page.blocks)])}
    return tuple(reversed(heads.items())), _known_by((words.inline(page.lead), *words.lines(page.blocks)))


def _of_page(page: Page, told: Told, *, whole: bool) -> WordedPage:
    kind = page.id.partition(":")[0]
    heads, words = told
    return WordedPage(
        reference=page.id,
        kind=kind if kind in KINDS_BY_USE else "page",
        title=page.title,
        heads=tuple((text, anchor if whole else "") for text, anchor in heads),
        words=tuple(words),
    )


def _of_card(card: Card, figures: Mapping[str, Figure]) -> WordedPage:
    title, *lines = card_lines(card, figures)
    return WordedPage(
        reference=f"card:{card.id}",
        kind="card",
        title=title,
        heads=tuple((block.title, "") for side in card.sides for block in side.blocks),
        words=_known_by((card.who, card.area, *lines)),
    )


def _heads(blocks: Iterable[Block]) -> Iterator[Heading]:
    for block in blocks:
        if isinstance(block, Heading):
            yield block
        elif isinstance(block, Notice):
            yield from _heads(block.content)
        elif isinstance(block, ItemList):
            for item in block.items:
                yield from _heads(item)


def _known_by(lines: Iterable[str]) -> tuple[str, ...]:
    """Words that somebody may ask for; numbers are looked up as figures."""
    found = set(WORD.findall(folded_text("\n".join(lines))))
    return tuple(sorted(word for word in found if len(word) >= SHORTEST and LETTER.search(word)))
