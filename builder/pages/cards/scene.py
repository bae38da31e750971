"""What a card block is composed from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from builder.figures.ledger import Ledger
from builder.pages.blocks import Absent, Block, CardBlock, Fig, Inlines, Text
from builder.pages.prose import ProseContext
from builder.program.areas import Area
from builder.program.cards import BlockSpec, CardSpec
from builder.program.models import Model
from builder.program.program import Program


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One card being composed."""

    program: Program
    ledger: Ledger
    prose: ProseContext
    card: CardSpec

    @property
    def area(self) -> Area:
        """The card's area; readers made sure that blocks needing one have it."""
        if self.card.area is None:
            raise ValueError(f"card {self.card.id} has no area")
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
            return tuple(given.value for given in spec.channels)
        mine = {sensor.channel.value for model in self.models for _, sensor in self.program.fitted(model)}
        return tuple(channel for channel in self.program.channels_in(self.area) if channel in mine)

    def fig(self, key: str, *, decisive: bool = False, bare: bool = False) -> Inlines:
        """A figure, or the plain word that there is no value."""
        figure = self.ledger.get(key)
        return (Fig(figure.key, bare=bare, decisive=decisive),) if figure else (Absent("no value"),)


def make(spec: BlockSpec, title: str, blocks: Iterable[Block], emphasis: str = "") -> CardBlock:
    """A card block under the author's title, or else the usual one."""
    return CardBlock(
        name=spec.name, title=spec.title.value if spec.title else title, blocks=tuple(blocks), emphasis=emphasis
    )


def words(text: str) -> Inlines:
    """Plain text."""
    return (Text(text),)
