"""Plain data of which pages and cards are put together. Numbers appear only as ``Fig`` (a figure's key)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field
from typing import TypeAlias

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
