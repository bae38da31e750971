"""Plain data that pages and cards are made of. Numbers appear only as ``Fig`` (a figure's key)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field, replace
from typing import Any, Final, TypeAlias

from builder.base.record import dataclass
from builder.pages.reader_tools import Converter, Corrector
from builder.program.plan import Plan

FILE = "file:"
"""Begins a reference to a file of the site by its path, as in ``file:calendar/all.ics``."""

# ---- inline ----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Text:
    """Plain text."""

    text: str
    apart: bool = field(default=False, repr=False, compare=False)
    """True for a name or a word of a list within a sentence, which is translated by itself."""


BETWEEN = Text("; ")
"""Parts the entries of a list in a line; on cards no line begins with it."""


def between(entries: Iterable[str]) -> tuple[Text, ...]:
    """Texts as the entries of a list in a line."""
    return tuple(part for one in entries for part in (BETWEEN, Text(one)))[1:]


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
    due: bool = field(default=False, repr=False)
    """True for the last day of something, which the reader's browser compares with its own day."""


@dataclass(frozen=True, slots=True)
class Link:
    """A link to something the site has, such as ``gas:methane``, ``figure:KEY``, ``page:ID``, ``card-pdf:ID``."""

    target: str
    content: tuple[Inline, ...]
    quiet: bool = field(default=False, repr=False)
    """True for a word that is explained elsewhere: it stays a plain word on paper."""


@dataclass(frozen=True, slots=True)
class Absent:
    """A value that the library does not have; prints the reason instead of a number."""

    reason: str = "no published value in the library"


@dataclass(frozen=True, slots=True)
class Day:
    """The last day of something that an earlier edition printed, so that no figure of this one has it."""

    text: str
    """As printed."""
    day: str
    """In ISO 8601, for the reader's browser to compare with its own day."""


@dataclass(frozen=True, slots=True)
class Tally:
    """How many things are late or soon, which the reader's browser counts again on its own day."""

    text: str
    """As it stood on the day of the build."""
    days: tuple[tuple[str, int], ...]
    """(last day in ISO 8601, how many things have it)."""


@dataclass(frozen=True, slots=True)
class English:
    """Words without translation on a page in another language: they are shown as they are, and marked."""

    content: tuple[Inline, ...]


Inline: TypeAlias = English | Text | Strong | Code | Fig | Link | Absent | Day | Tally
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
class ItemList:
    """A list; each item is a run of blocks."""

    items: tuple[tuple[Block, ...], ...]
    ordered: bool = False
    start: int = 1
    kind: str = ""
    """``steps`` for a procedure's numbered steps, ``ticks`` for a checklist, ``columns`` for short links, or empty."""


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
    """A hint for layout: ``facts`` (two columns, the first heads a row), ``matrix``, ``lookup``, ``alarms``; inside a
    book's cover ``calls`` and ``actions``; or none."""
    explained: tuple[tuple[int, str], ...] = field(default=(), repr=False)
    """(index of a column, what explains its head, as in ``term:twa``)."""
    row_ids: tuple[str, ...] = field(default=(), repr=False)
    """Anchors of the rows, one each, or none at all."""


@dataclass(frozen=True, slots=True)
class Notice:
    """A boxed remark; ``kind`` is ``caution``, ``stop``, ``warn``, ``note`` or ``assumes``."""

    kind: str
    content: tuple[Block, ...]
    title: str = ""


@dataclass(frozen=True, slots=True)
class Fold:
    """A part that is folded away under its heading until a reader opens it; on paper it stands open."""

    heading: Heading
    """Plain words: no figure and no link."""
    content: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis of a chart; every figure on it can be expressed in its unit."""

    label: str
    unit: str
    """Unit spelling, empty for counts and factors."""
    log: bool = False
    zoomed: bool = False
    """Whether a straight axis spans what stands on it, and not from zero."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a chart, through points that are pairs of figures."""

    name: str
    """Printed at the line's end."""
    points: tuple[tuple[str, str], ...]
    """(key along x, key along y), in order along x."""
    from_zero: bool = False
    """True where nothing gives nothing, so that the line begins in the corner."""
    guide: bool = False
    """True for a line to compare with: thin, without points."""
    exact: bool = False
    """True where exact values are drawn, not printed ones: rounding would put a kink into a straight line."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A level along y, or a reading along x, that is named and printed with its value."""

    key: str
    label: str
    kind: str = "limit"
    """``limit``, ``alarm`` or ``fire``."""


@dataclass(frozen=True, slots=True)
class Chart:
    """A drawing of figures; without an x axis it is a ladder of marks alone."""

    title: str
    description: str
    """One sentence: what it shows and how to read it."""
    x: Axis | None
    y: Axis
    lines: tuple[Line, ...] = ()
    marks: tuple[Mark, ...] = ()
    uprights: tuple[Mark, ...] = ()
    """Readings along x that are marked by an upright line, as an alarm is."""
    comma: str = ", "
    """What parts a name from its unit or value, as the language of the chart has it."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """The plan of the areas; whatever shows it has a list of the areas in words beside it."""

    title: str
    description: str
    plan: Plan
    names: Mapping[str, str]
    """Id of an area -> its name."""


@dataclass(frozen=True, slots=True)
class Qr:
    """A square code that a telephone reads: an address and the card's own code, or that code alone.

    The code is joined when the card is set. It is made from all that the card prints, so it cannot stand here.
    """

    before: str
    """What stands before the card's code, as in ``https://example.org/cards/status.html#``; may be empty."""
    says: str
    """What it is for, printed beside it."""
    address: str = ""
    """Where it leads, when that is not about the card itself: no code is joined then."""


@dataclass(frozen=True, slots=True)
class Derived:
    """The derivation of a figure, told in words when its page is rendered: a site has thousands, and few change."""

    key: str
    into: tuple[str, ...]
    """Keys of the first figures that are made from it."""
    into_all: int
    """How many there are."""
    places: tuple[tuple[str, str], ...]
    """Reference and title of the first pages and files that print it."""
    places_all: int


Block: TypeAlias = (
    Heading | Paragraph | ItemList | Table | Notice | Fold | Chart | Drawing | Corrector | Converter | Qr | Derived
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page of the handbook."""

    id: str
    """Reference such as ``area:wet-well`` or ``page:setpoints``."""
    path: str
    """Where it lies in the site, as in ``areas/wet-well.html``."""
    title: str
    section: str
    """Id of the section it belongs to, for navigation."""
    blocks: tuple[Block, ...]
    lead: Inlines = ()
    """One sentence under the title."""
    crumbs: tuple[tuple[str, str], ...] = ()
    """(reference, title) of the pages above it."""
    holds: tuple[tuple[str, str], ...] = ()
    """(reference, its anchor here) of pages that stand on this one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpokenPage(Page):
    """A page in another language than English."""

    language: str
    english: frozenset[str] = frozenset()
    """Heads and captions on it that have no translation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardBlock:
    """One block of a card, by the name the author composed it with."""

    name: str
    """Block name, as in ``corrections``."""
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFace:
    """Head and foot of the side of a card that is in another language than its front."""

    language: str
    title: str
    who: str
    area: str
    foot: Inlines


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
    foot: Inlines
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
    **dict.fromkeys((Strong, Link, English, Paragraph, Heading, Notice), ("content",)),
    **dict.fromkeys((CardBlock, CardSide), ("blocks",)),
    Fold: ("content",),
    ItemList: ("items",),
    Table: ("rows",),
    **dict.fromkeys((Page, SpokenPage), ("lead", "blocks")),
    Card: ("sides", "foot"),
}
"""Kind of record -> its parts that may hold figures and links; a site has millions, so none is looked into in vain."""
_FIGURES: Final = frozenset((Fig, Chart))
_LINKS: Final = frozenset((Link, Derived))


def figures_in(node: object) -> Iterator[str]:
    """Keys of all figures inside any of these records, in reading order, with repetitions."""
    found: list[Any] = []
    _gather((node,), _FIGURES, found)
    for one in found:
        if isinstance(one, Fig):
            yield one.key
        else:
            yield from (key for line in one.lines for point in line.points for key in point)
            yield from (mark.key for mark in one.marks)


def links_in(node: object) -> Iterator[str]:
    """Targets of all links inside any of these records, in reading order; of a derivation, what prints it."""
    found: list[Any] = []
    _gather((node,), _LINKS, found)
    for one in found:
        if isinstance(one, Derived):
            yield from (reference for reference, _ in one.places)
        else:
            yield one.target


def _gather(nodes: tuple[object, ...], kinds: frozenset[type], found: list[Any]) -> None:
    """Every record of some kinds at any depth, in reading order."""
    for node in nodes:
        kind = type(node)
        if kind is Text:
            continue
        if kind is tuple:
            _gather(node, kinds, found)  # type: ignore[arg-type]  # told by its type, which is quicker than asking
            continue
        if kind in kinds:
            found.append(node)
        for name in _PRINTED.get(kind, ()):
            _gather(getattr(node, name), kinds, found)
