"""Pages and cards, put together from blocks, and the figures and links that they hold."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from typing import Any, Final

from builder.base.record import dataclass
from builder.pages import blocks as pieces


@dataclass(frozen=True, kw_only=True)  # no slots, for what is gathered once
class Page:
    """One page of the handbook."""

    id: str
    """Reference such as ``area:wet-well`` or ``page:setpoints``."""
    path: str
    """Where it lies in the site, as in ``areas/wet-well.html``."""
    title: str
    section: str
    """Id of the section it belongs to, for navigation."""
    blocks: tuple[pieces.Block, ...]
    lead: pieces.Inlines = ()
    """One sentence under the title."""
    crumbs: tuple[tuple[str, str], ...] = ()
    """(reference, title) of the pages above it."""
    holds: tuple[tuple[str, str], ...] = ()
    """(reference, its anchor here) of pages that stand on this one."""

    @cached_property
    def figures(self) -> tuple[str, ...]:
        """Keys of all figures on it, in reading order, each once."""
        return tuple(dict.fromkeys(_keys_of(self._told)))

    @cached_property
    def links(self) -> tuple[str, ...]:
        """Targets of all links on it, in reading order, each once."""
        return tuple(dict.fromkeys(_targets_of(self._told)))

    @cached_property
    def _told(self) -> list[Any]:
        found: list[Any] = []
        _gather((self.lead, self.blocks), _FIGURES | _LINKS, found)
        return found


@dataclass(frozen=True, kw_only=True)
class SpokenPage(Page):
    """A page in another language than English."""

    language: str
    english: tuple[str, ...] = ()
    """Heads and captions on it that have no translation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardBlock:
    """One block of a card, by the name the author composed it with."""

    name: str
    """Block name, as in ``corrections``."""
    title: str
    blocks: tuple[pieces.Block, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFace:
    """Head and foot of the side of a card that is in another language than its front."""

    language: str
    title: str
    who: str
    area: str
    foot: pieces.Inlines


@dataclass(frozen=True, slots=True, kw_only=True)
class CardSide:
    """One printed side."""

    name: str
    """``front`` or ``back``; of a folded card ``panel 1`` and so on."""
    blocks: tuple[CardBlock, ...]
    face: CardFace | None = None
    """What heads and ends it where it is in another language than the card's first side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """A pocket card, ready to be laid out."""

    id: str
    title: str
    audience: str
    area: str
    """Name of the area, or empty for a card of the whole site."""
    format: str
    """``A7``, ``ID-1``, ``A6`` ..."""
    language: str
    sides: tuple[CardSide, ...]
    """Front and back, or the panels of a folded card in the order a reader meets them."""
    foot: pieces.Inlines
    """Revision, issue date, valid until, code: printed on every side."""
    code: str
    """Short code a person can read out."""
    draft: bool
    punch: str = ""
    """``top-left`` or ``top-centre`` of the front, where a hole is to be punched; else empty."""
    smallest: float = 0
    """Points that its text is set in and no smaller, as its author wants it; 0 where nothing is said."""
    type_pt: float = 0
    """Points that its text was set in so that it fits; 0 before that was found."""
    who: str = ""
    """The audience in the card's language."""
    invented: bool = False
    """Whether its data are those of a demonstration."""
    variant: str = ""
    """The language, where the same card is there in an earlier one too."""

    @property
    def name(self) -> str:
        """What tells it from every other card, also from the same in another language: ``pit`` or ``pit.es``."""
        return f"{self.id}.{self.variant}" if self.variant else self.id

    @property
    def path(self) -> str:
        """Its file in the site."""
        return f"cards/{self.name}.pdf"

    def faced(self, side: CardSide) -> Card:
        """The card with language, head and foot of one of its sides."""
        if side.face is None:
            return self
        face = side.face
        return replace(self, language=face.language, title=face.title, who=face.who, area=face.area, foot=face.foot)


# ---- what an artefact prints -------------------------------------------------


_PRINTED: Final[Mapping[type, tuple[str, ...]]] = {
    **dict.fromkeys(
        (pieces.Strong, pieces.Link, pieces.English, pieces.Paragraph, pieces.Heading, pieces.Notice), ("content",)
    ),
    **dict.fromkeys((CardBlock, CardSide), ("blocks",)),
    pieces.Fold: ("content",),
    pieces.ItemList: ("items",),
    pieces.Table: ("rows",),
    **dict.fromkeys((Page, SpokenPage), ("lead", "blocks")),
    Card: ("sides", "foot"),
}
"""Kind of record -> its parts that may hold figures and links; a site has millions, so none is looked into in vain."""
_FIGURES: Final = frozenset((pieces.Fig, pieces.Chart))
_LINKS: Final = frozenset((pieces.Link, pieces.Derived))


def figures_in(node: object) -> Iterator[str]:
    """Keys of all figures inside any of these records, in reading order, with repetitions."""
    found: list[Any] = []
    _gather((node,), _FIGURES, found)
    return _keys_of(found)


def _keys_of(found: Iterable[Any]) -> Iterator[str]:
    for one in found:
        if isinstance(one, pieces.Fig):
            yield one.key
        elif isinstance(one, pieces.Chart):
            yield from (key for line in one.lines for point in line.points for key in point)
            yield from (mark.key for mark in one.marks)


def links_in(node: object) -> Iterator[str]:
    """Targets of all links inside any of these records, in reading order; of a derivation, what prints it."""
    found: list[Any] = []
    _gather((node,), _LINKS, found)
    return _targets_of(found)


def _targets_of(found: Iterable[Any]) -> Iterator[str]:
    for one in found:
        if isinstance(one, pieces.Derived):
            yield from (reference for reference, _ in one.places)
        elif isinstance(one, pieces.Link):
            yield one.target


def _gather(nodes: tuple[object, ...], kinds: frozenset[type], found: list[Any]) -> None:
    """Every record of some kinds at any depth, in reading order."""
    for node in nodes:
        kind = type(node)
        if kind is pieces.Text:
            continue
        if kind is tuple:
            _gather(node, kinds, found)  # type: ignore[arg-type]  # told by its type, which is quicker than asking
            continue
        if kind in kinds:
            found.append(node)
        for name in _PRINTED.get(kind, ()):
            _gather(getattr(node, name), kinds, found)
