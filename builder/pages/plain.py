"""Cards, forms and procedures as plain words, for whoever compares editions."""

from collections.abc import Iterable, Iterator, Mapping

from builder.base.quantity import printed_unit
from builder.base.record import dataclass
from builder.figures.figure import NO_BREAK_SPACE, Figure
from builder.pages import blocks
from builder.pages.compositions import Card, CardSide
from builder.pages.numbers import spoken_figures


@dataclass(frozen=True, slots=True)
class Words:
    """Makes plain words of records, with figures as they are printed."""

    figures: Mapping[str, Figure]

    def inline(self, nodes: Iterable[blocks.Inline]) -> str:
        """A run of inlines as one text."""
        return "".join(self._inline(node) for node in nodes)

    def _inline(self, node: blocks.Inline) -> str:
        if isinstance(node, blocks.Fig):
            figure = self.figures[node.key]
            parts = [figure.relation, figure.text, "" if node.bare else printed_unit(figure.unit)]
            return NO_BREAK_SPACE.join(part for part in parts if part)
        if isinstance(node, (blocks.Strong, blocks.Link, blocks.English)):
            return self.inline(node.content)
        return node.reason if isinstance(node, blocks.Absent) else node.text

    def lines(self, nodes: Iterable[blocks.Block]) -> Iterator[str]:
        """The lines of blocks in reading order: a paragraph, an item or a row of a table each."""
        for node in nodes:
            yield from self._block(node)

    def _block(self, node: blocks.Block) -> Iterator[str]:
        if isinstance(node, (blocks.Heading, blocks.Paragraph)):
            yield self.inline(node.content)
        elif isinstance(node, blocks.ItemList):
            for item in node.items:
                yield from self.lines(item)
        elif isinstance(node, blocks.Table):
            yield from self._table(node)
        elif isinstance(node, blocks.Fold):
            yield from self.lines((node.heading, *node.content))
        elif isinstance(node, blocks.Notice):
            yield from (node.title,) if node.title else ()
            yield from self.lines(node.content)
        else:
            yield from (
                (f"{node.title}. {node.description}",) if isinstance(node, (blocks.Chart, blocks.Drawing)) else ()
            )

    def _table(self, node: blocks.Table) -> Iterator[str]:
        if node.caption:
            yield node.caption
        if any(node.columns):
            yield " | ".join(node.columns)
        if not node.rows:
            yield node.empty
        for row in node.rows:
            yield " | ".join(self.inline(cell) for cell in row)


def card_lines(card: Card, figures: Mapping[str, Figure]) -> tuple[str, ...]:
    """What a card says, without its foot: title, then each side's blocks, in the language of the side."""
    return (card.title, *(line for side in card.sides for line in _side_lines(card, side, figures)))


def _side_lines(card: Card, side: CardSide, figures: Mapping[str, Figure]) -> Iterator[str]:
    words = Words(spoken_figures(figures, card.faced(side).language))
    for block in side.blocks:
        yield block.title
        yield from words.lines(block.blocks)
