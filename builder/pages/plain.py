"""Pages and cards as plain words: what a reader must find on them, whoever draws them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from builder.base.quantity import printed_unit
from builder.figures.figure import NO_BREAK_SPACE, Figure
from builder.pages.blocks import (
    Absent,
    Block,
    Card,
    CardSide,
    Chart,
    Fig,
    Heading,
    Inline,
    ItemList,
    Link,
    Notice,
    Page,
    Paragraph,
    Strong,
    Table,
)
from builder.pages.numbers import spoken_figures
from builder.pages.reader_tools import Converter, Corrector

DIGITS = re.compile(r"[0-9]+")
KNOWN = (Heading, Paragraph, ItemList, Table, Notice, Chart, Corrector, Converter)
"""Kinds of block whose every word is known; forms are filled in by readers and are no text."""


@dataclass(frozen=True, slots=True)
class Words:
    """Makes plain words of records, with figures as they are printed."""

    figures: Mapping[str, Figure]
    drawn: Callable[[object], Iterable[str]] = lambda _: ()
    """The words of a block that is no text: a drawing."""

    def inline(self, nodes: Iterable[Inline]) -> str:
        """A run of inlines as one text."""
        return "".join(self._inline(node) for node in nodes)

    def _inline(self, node: Inline) -> str:
        if isinstance(node, Fig):
            figure = self.figures[node.key]
            parts = [figure.relation, figure.text, "" if node.bare else printed_unit(figure.unit)]
            return NO_BREAK_SPACE.join(part for part in parts if part)
        if isinstance(node, (Strong, Link)):
            return self.inline(node.content)
        return node.reason if isinstance(node, Absent) else node.text

    def lines(self, nodes: Iterable[Block]) -> Iterator[str]:
        """The lines of blocks in reading order: a paragraph, an item or a row of a table each."""
        for node in nodes:
            yield from self._block(node)

    def _block(self, node: Block) -> Iterator[str]:
        if isinstance(node, (Heading, Paragraph)):
            yield self.inline(node.content)
        elif isinstance(node, ItemList):
            for item in node.items:
                yield from self.lines(item)
        elif isinstance(node, Table):
            yield from self._table(node)
        elif isinstance(node, Notice):
            yield from (node.title,) if node.title else ()
            yield from self.lines(node.content)
        else:
            yield from (f"{node.title}. {node.description}", *self.drawn(node)) if isinstance(node, Chart) else ()

    def _table(self, node: Table) -> Iterator[str]:
        if node.caption:
            yield node.caption
        if any(node.columns):
            yield " | ".join(node.columns)
        if not node.rows:
            yield node.empty
        for row in node.rows:
            yield " | ".join(self.inline(cell) for cell in row)


def digits(lines: Iterable[str]) -> str:
    """Every run of digits in these lines, in order, parted by spaces: what a reader of any drawing must meet again.

    >>> digits(["Alarm at 19.5 %vol", "15 000 ppm"])
    '19 5 15 000'
    """
    return " ".join(run for line in lines for run in DIGITS.findall(line))


def page_lines(page: Page, words: Words, *, crumbs: bool = False) -> list[str]:
    """The words of a page; with ``crumbs`` also those of the way to it, as a page of the site has them."""
    way = [*(title for _, title in page.crumbs), page.title] if crumbs and page.crumbs else []
    return [*way, page.title, words.inline(page.lead), *words.lines(page.blocks)]


def whole(nodes: object) -> bool:
    """Whether every block in these records is of a known kind, so that all its words are known."""
    if isinstance(nodes, tuple):
        return all(whole(node) for node in nodes)
    if isinstance(nodes, ItemList):
        return whole(nodes.items)
    if isinstance(nodes, Notice):
        return whole(nodes.content)
    return isinstance(nodes, KNOWN)


def card_lines(card: Card, figures: Mapping[str, Figure]) -> tuple[str, ...]:
    """What a card says, without its foot: title, then each side's blocks, in the language of the side."""
    return (card.title, *(line for side in card.sides for line in _side_lines(side, _of(card, side, figures))))


def card_cells(card: Card, figures: Mapping[str, Figure]) -> list[str]:
    """The runs of digits of each block: they stand together on whatever side or sheet the block is set."""
    found = (
        digits([block.title, *_of(card, side, figures).lines(block.blocks)])
        for side in card.sides
        for block in side.blocks
    )
    return [runs for runs in found if runs]


def card_frame(card: Card, figures: Mapping[str, Figure]) -> str:
    """The runs of digits that stand around the blocks: title and foot, and the code on every side."""
    words = Words(spoken_figures(figures, card.language))
    return digits([card.title, words.inline(card.foot), *[card.code] * len(card.sides)])


def _of(card: Card, side: CardSide, figures: Mapping[str, Figure]) -> Words:
    return Words(spoken_figures(figures, card.faced(side).language))


def _side_lines(side: CardSide, words: Words) -> Iterator[str]:
    for block in side.blocks:
        yield block.title
        yield from words.lines(block.blocks)
