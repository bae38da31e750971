"""Plain data that pages and cards are made of. Numbers appear only as ``Fig`` (a figure's key)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

# ---- inline ----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Text:
    """Plain text."""

    text: str


@dataclass(frozen=True, slots=True)
class Strong:
    """Emphasised text."""

    content: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Code:
    """A key, a file name or a command."""

    text: str


@dataclass(frozen=True, slots=True)
class Fig:
    """A figure by its key; the renderer prints its text and links to its derivation."""

    key: str
    bare: bool = False
    """True to print the number without its unit (the column head has it)."""
    decisive: bool = False
    """True for a number that decides what a worker does; cards set it larger."""


@dataclass(frozen=True, slots=True)
class Link:
    """A link to something the site has, such as ``gas:methane``, ``figure:KEY``, ``page:ID``, ``card-pdf:ID``."""

    target: str
    content: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Absent:
    """A value that the library does not have; prints the reason instead of a number."""

    reason: str = "no published value in the library"


Inline: TypeAlias = Text | Strong | Code | Fig | Link | Absent
Inlines: TypeAlias = tuple[Inline, ...]

# ---- blocks ----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside a page; ``level`` 2 or 3 (1 is the page's title)."""

    level: int
    content: Inlines
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text."""

    content: Inlines


@dataclass(frozen=True, slots=True)
class Items:
    """A list; each item is a run of blocks."""

    items: tuple[tuple[Block, ...], ...]
    ordered: bool = False
    start: int = 1
    kind: str = ""
    """``steps`` for a procedure's numbered steps, ``ticks`` for a checklist, else empty."""


@dataclass(frozen=True, slots=True)
class Table:
    """A table; every row has one cell a column."""

    columns: tuple[str, ...]
    rows: tuple[tuple[Inlines, ...], ...]
    caption: str = ""
    numeric: tuple[int, ...] = ()
    """Indexes of the columns set in tabular figures, aligned right."""
    empty: str = "none"
    """What is printed when there are no rows."""
    kind: str = ""
    """A hint for layout: ``facts`` (two columns, first is the row's head), ``matrix``, or empty."""


@dataclass(frozen=True, slots=True)
class Notice:
    """A boxed remark; ``kind`` is ``caution``, ``stop``, ``warn``, ``note`` or ``assumes``."""

    kind: str
    content: tuple[Block, ...]
    title: str = ""


Block: TypeAlias = Heading | Paragraph | Items | Table | Notice


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page of the handbook."""

    id: str
    """Reference such as ``area:wet-well`` or ``page:setpoints``."""
    path: str
    """Where it lies in the site, as in ``areas/wet-well.html``."""
    title: str
    section: str
    """Id of the section it belongs to, for navigation and order in the PDF."""
    blocks: tuple[Block, ...]
    lead: Inlines = ()
    """One sentence under the title."""
    crumbs: tuple[tuple[str, str], ...] = ()
    """(reference, title) of the pages above it."""
    in_pdf: bool = True
    """Whether the printed handbook has it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardBlock:
    """One block of a card, by the name the author composed it with."""

    name: str
    """Block name, as in ``corrections``."""
    title: str
    blocks: tuple[Block, ...]
    emphasis: str = ""
    """``action`` for what to do on alarm (at least 10 pt bold), else empty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardSide:
    """One printed side."""

    name: str
    """``front`` or ``back``."""
    blocks: tuple[CardBlock, ...]


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
    foot: Inlines
    """Revision, issue date, valid until, code: printed on every side."""
    code: str
    """Short code a person can read out."""
    draft: bool


# ---- what an artefact prints -------------------------------------------------


def figures_in(node: object) -> Iterator[str]:
    """Keys of all figures inside any of these records, in reading order, with repetitions."""
    if isinstance(node, Fig):
        yield node.key
    elif isinstance(node, tuple):
        for part in node:
            yield from figures_in(part)
    elif isinstance(node, (Strong, Link, Paragraph, Heading, Notice)):
        yield from figures_in(node.content)
    elif isinstance(node, Items):
        yield from figures_in(node.items)
    elif isinstance(node, Table):
        yield from figures_in(node.rows)
    elif isinstance(node, Page):
        yield from figures_in(node.lead)
        yield from figures_in(node.blocks)
    elif isinstance(node, (CardBlock, CardSide)):
        yield from figures_in(node.blocks)
    elif isinstance(node, Card):
        yield from figures_in(node.sides)
        yield from figures_in(node.foot)
