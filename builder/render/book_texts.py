"""What the templates of books are filled with."""

from __future__ import annotations

from builder.base.record import dataclass
from builder.history.chapters import Exchange
from builder.pages.compositions import Page
from builder.render.binding import ELSEWHERE


@dataclass(frozen=True, slots=True)
class Named:
    """What documents say of their book."""

    title: str
    purpose: str


@dataclass(frozen=True, slots=True)
class DocumentText:
    """What one document is filled with, beside what all of its book share."""

    template: str
    number: int
    """Of the chapter, 0 for what belongs to none."""
    title: str
    """Of the chapter, empty in a part that goes on with it."""
    pages: tuple[Page, ...] = ()
    sections_before: int = 0
    """How many sections of the chapter stand in parts before this one."""
    part: int = 0
    """Of the chapter, from 0."""
    framed: tuple[tuple[str, Page], ...] = ()
    contents: tuple[Part, ...] = ()
    index: tuple[Entry, ...] = ()
    frames: tuple[Frame, ...] = ()
    sheet: ChangeSheet | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """A section in the contents."""

    number: str
    title: str
    place: str
    page: str


@dataclass(frozen=True, slots=True)
class Part:
    """A chapter in the contents."""

    number: str
    title: str
    place: str
    page: str
    sections: tuple[Line, ...]
    holds: str
    """Which pages must be there, and of which revision."""


def part(number: int, title: str, sections: tuple[Line, ...], holds: str = "") -> Part:
    """The chapter in the contents."""
    return Part(str(number), title, f"{ELSEWHERE}chapter-{number}", f"{number}-1", sections, holds)


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of the index."""

    title: str
    main: bool
    places: tuple[tuple[str, str], ...]
    """(link, number of the page)."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What stands around the pages of a chapter."""

    number: str
    title: str
    top: float
    issue: str = ""
    """The revision that its pages bear, where it is not that of the book."""


@dataclass(frozen=True, slots=True)
class ChangeSheet:
    """What somebody does who keeps a printed book in a binder."""

    exchanges: tuple[Exchange, ...]
    staying: tuple[str, ...]
    """Chapters that stay, with their pages."""
    index: str
    """Pages of the index that are put in."""
    all_new: bool
    """Whether nobody has a book yet."""
