"""What a card block is composed from."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TypeAlias

from builder.base.errors import refusal
from builder.base.fault_kinds import Kind
from builder.base.record import dataclass
from builder.figures.ledger import Ledger
from builder.load.markdown import ProseNode
from builder.pages.blocks import Absent, Block, English, Fig, Inlines, ItemList, Paragraph, Table, Text
from builder.pages.compositions import CardBlock
from builder.pages.prose import ProseContext, prose_blocks, prose_inlines
from builder.pages.translator import Translator
from builder.program.areas import Area
from builder.program.cards import BlockSpec, CardSpec
from builder.program.languages import ENGLISH, LANGUAGES
from builder.program.models import Model
from builder.program.prose import Prose
from builder.program.test_order import in_test_order

CardRow: TypeAlias = tuple[Inlines, ...]
"""A row of a table."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardContext(Translator):
    """One card being composed, in one language."""

    ledger: Ledger
    prose: ProseContext
    card: CardSpec

    @property
    def area(self) -> Area:
        """The card's area; readers made sure that blocks which say that they need one have it.

        :raises ContentError: for a block that does not say so.
        """
        if self.card.area is None:
            raise refusal(
                Kind.KEY_MISSING, self.card.where, "a block needs an area that its card lacks", "area: on the card"
            )
        return self.program.areas[self.card.area.value]

    @property
    def models(self) -> tuple[Model, ...]:
        """The card's model, or all that its area allows."""
        if self.card.model is not None:
            return (self.program.models[self.card.model.value],)
        return self.program.models_in(self.area) if self.card.area else ()

    def channels(self, spec: BlockSpec) -> tuple[str, ...]:
        """Channels a block asks for, or all that the card's detectors measure, in test order."""
        if spec.channels:
            return in_test_order(given.value for given in spec.channels)
        mine = {sensor.channel.value for model in self.models for _, sensor in self.program.fitted(model)}
        return tuple(channel for channel in self.program.channels_in(self.area) if channel in mine)

    def fig(self, key: str, *, decisive: bool = False, bare: bool = False) -> Inlines:
        """A figure, or the plain word that there is no value."""
        figure = self.ledger.get(key)
        return (Fig(figure.key, bare=bare, decisive=decisive),) if figure else (Absent(self.text("no value")),)

    def decisive(self, key: str, *, bare: bool = False) -> Inlines:
        """The same of a number that decides what a worker does."""
        return self.fig(key, decisive=True, bare=bare)

    def values(self, *named: tuple[str, str]) -> Iterator[CardRow]:
        """A row for each figure there is of these: key, and the English of what it is."""
        for key, name in named:
            if key in self.ledger:
                yield self.words(name), self.decisive(key)

    def table(
        self, heads: Iterable[str], rows: Iterable[CardRow], *, numeric: tuple[int, ...] = (), empty: str = ""
    ) -> Table:
        """A table; its heads, and what it says without a row, are given in English."""
        made, columns = tuple(rows), tuple(map(self.text, heads))
        return Table(columns=columns, rows=made, numeric=numeric, empty=self.text(empty) if empty else "none")

    # ---- texts in the card's language --------------------------------------
    def blocks_of(self, prose: Prose) -> tuple[Block, ...]:
        """Prose of the content as blocks, in the card's language where it has that, else marked as English."""
        blocks = prose_blocks(self._nodes_of(prose), self.prose)
        return tuple(map(_in_english, blocks)) if self._untold(prose) else blocks

    def inlines_of(self, prose: Prose) -> Inlines:
        """Prose of a single paragraph, under the same rule."""
        content = prose_inlines(self._nodes_of(prose), self.prose)
        return (English(content),) if self._untold(prose) else content

    def _untold(self, prose: Prose) -> bool:
        """Whether prose is in English on a card in another language: from right to left its parts change places."""
        return self.program.site.languages[0].value == ENGLISH and self.wording.language not in (ENGLISH, *prose.others)

    def _nodes_of(self, prose: Prose) -> tuple[ProseNode, ...]:
        if self.wording.language == self.program.site.languages[0].value:
            return prose.nodes
        found = prose.others.get(self.wording.language)
        if found is None:
            self.missed[prose.where, prose.text] = None
            return prose.nodes
        self._hear_links(found.nodes)
        return found.nodes

    def _hear_links(self, nodes: Iterable[ProseNode]) -> None:
        """Note links without words of their own: they would be the title of a page, which is in the first language."""
        for node in nodes:
            if node.kind == "link" and not node.children:
                self.missed[node.where, node.text] = None
            self._hear_links(node.children)

    def gases(self, gas_ids: Iterable[str]) -> str:
        """Names of gases within a sentence."""
        names = self.wording.comma.join(self.gas(gas_id) for gas_id in gas_ids)
        return names if LANGUAGES[self.wording.language].capital_nouns else names.lower()


def make(context: CardContext, spec: BlockSpec, title: str, blocks: Iterable[Block]) -> CardBlock:
    """A card block under the author's title, or else the usual one, which is in the card's language."""
    shown = context.content_text(spec.title) if spec.title else title
    return CardBlock(name=spec.name, title=shown, blocks=tuple(blocks))


def words(text: str) -> Inlines:
    """Plain text that is in the card's language already."""
    return (Text(text),)


def _in_english(block: Block) -> Block:
    if isinstance(block, Paragraph):
        return replace(block, content=(English(block.content),))
    if isinstance(block, ItemList):
        return replace(block, items=tuple(tuple(map(_in_english, item)) for item in block.items))
    return block
