"""A printed book as plain data."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from builder.base.record import dataclass
from builder.pages.books.index import IndexEntry
from builder.pages.compositions import Page

BOOK: Final = "book:"
"""Begins a reference to a book."""
PROCEDURE: Final = "procedure:"
"""Begins the id of a page that says what to do."""
OPENING: Final = "opening:"
"""Begins the id of a page that starts on a left-hand page, so that nothing before it decides how it is laid out."""
ALARMS: Final = "alarms:"
"""Begins the id of what goes on with the setpoints, on a page of its own."""
GAS: Final = "gas:"
"""Begins the id of a page of a gas."""
MOST: Final = 3
"""Pages of a part of a chapter of gases: one costs little, and little paper stays empty at its end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookChapter:
    """Some pages under one title; their order is that of the book."""

    title: str
    pages: tuple[Page, ...]

    @property
    def instructs(self) -> bool:
        """Whether a procedure stands in it, which is read at work."""
        return any(page.id.startswith(PROCEDURE) for page in self.pages)

    @property
    def opens(self) -> bool:
        """Whether it has openings, and so begins its parts on left-hand pages; others begin on whichever follows."""
        return any(page.id.startswith(OPENING) for page in self.pages)

    def parts(self) -> tuple[tuple[Page, ...], ...]:
        """Its pages, parted so that a change costs one part; the first, which has the title, may have none.

        Each opening and each further part of the setpoints is one, and gases are parted evenly.
        """
        count = len(self.pages)
        parts = -(-count // MOST) if any(page.id.startswith(GAS) for page in self.pages) else 1
        begins = {at for at, page in enumerate(self.pages) if page.id.startswith((OPENING, ALARMS))}
        begins |= {-(-count * part // parts) for part in range(1, parts)}
        return tuple(self.pages[first:end] for first, end in pairwise((0, *sorted(begins), count)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """All of a book but its cover, contents and index, which are made of the rest."""

    id: str
    title: str
    purpose: str
    """For whom it is, in one sentence."""
    chapters: tuple[BookChapter, ...]
    inside: Page | None = None
    """What stands inside the cover: whom to call, and what to do when a detector sounds."""

    changes: Page | None = None
    """What each revision changed; it follows the contents."""
    index: tuple[IndexEntry, ...] = ()

    @property
    def path(self) -> str:
        """Its file in the site."""
        return book_path(self.id)

    def pages(self) -> Iterator[Page]:
        """Every page, in reading order."""
        if self.inside is not None:
            yield self.inside
        if self.changes is not None:
            yield self.changes
        for chapter in self.chapters:
            yield from chapter.pages


def changed_path(identity: str) -> str:
    """The file of the pages of a book that a release changed.

    >>> changed_path("field")
    'books/changed/field.pdf'
    """
    return f"books/changed/{identity}.pdf"


def book_path(identity: str) -> str:
    """The file of a book.

    >>> book_path("field")
    'books/field.pdf'
    """
    return f"books/{identity}.pdf"
