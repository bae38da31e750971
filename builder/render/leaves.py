"""A chapter laid out in parts: each opening is a document of its own, so a change in it costs that opening alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import repeat
from typing import Final

from builder.base.errors import RenderError
from builder.base.record import dataclass
from builder.pages.books.book import BookChapter
from builder.render.binding import Chapter
from builder.render.book_rules import PageRules
from builder.render.documents import Document, Made

TIGHT: Final = """html { line-height: 1.24 } table { line-height: 1.14 }
th, td { padding-top: 0.4mm; padding-bottom: 0.4mm } .steps > li { padding: 0.6mm 0 }
h2 { margin-top: 5mm; padding-top: 1.2mm } h3 { margin-top: 2.8mm }"""
"""Sets a chapter closer."""
USUAL: Final = 2
"""Pages of a part that goes on: one opening."""


@dataclass(frozen=True, slots=True)
class Leaves:
    """All of a chapter."""

    documents: tuple[Document, ...]
    made: tuple[Made, ...]

    @property
    def html(self) -> str:
        """The text of all parts."""
        return "".join(one.html for one in self.documents)

    @property
    def pages(self) -> int:
        """How many pages it has, those that stay empty before a left-hand page included."""
        return max(one.pages for one in self.made)

    @property
    def anchors(self) -> tuple[tuple[str, int], ...]:
        """Each place that can be referred to, with the number of its page from 1."""
        return tuple(place for one in self.made for place in one.anchors)


def settings_of(chapter: BookChapter) -> tuple[str, ...]:
    """How a chapter is set, and how else where it ends thin.

    One with procedures, which is read at work, is wide; one to look something up is close. An opening is always wide.
    """
    if len(chapter.parts()) > 1:
        return ("",)
    return ("", TIGHT) if chapter.instructs else (TIGHT, "")


def bound(
    front: Made, chapters: Sequence[Leaves], index: Made, shown: Sequence[int] | None = None
) -> tuple[Chapter, ...]:
    """First pages, chapters and index, ready to be joined.

    :param shown: places of the chapters that are wanted, from 0; all without it.
    """
    wanted = range(len(chapters)) if shown is None else shown
    parts = ((at, part, one) for at in wanted for part, one in enumerate(chapters[at].made))
    return (
        Chapter(pdf=front.pdf, label="", roman=True),
        *(Chapter(pdf=one.pdf, label=f"{at + 1}-", goes_on=part > 0) for at, part, one in parts),
        Chapter(pdf=index.pdf, label=f"{len(chapters) + 1}-"),
    )


def parts_of(chapters: Sequence[Leaves]) -> Iterator[Made]:
    """All parts of some chapters."""
    return (one for chapter in chapters for one in chapter.made)


def laid_out(documents: Sequence[Document], lay_out: Callable[[Sequence[Document]], Sequence[Made]]) -> Leaves:
    """A chapter, part by part.

    Where a part begins is known once those before it are counted, which are taken for two pages each until then; only
    numbers of pages come of it, so a part that turns out longer has those behind it laid out once more.

    :raises RenderError: when they have other pages then, which no page's number may decide.
    """
    first, *others = documents
    [begun] = lay_out([first])
    lengths = [USUAL] * len(others)
    for _ in ("as presumed", "as counted"):
        parts = placed(others, begun, lengths)
        made = lay_out(parts)
        counted = [_length(*one) for one in zip(parts, made, lengths, strict=True)]
        if counted == lengths:
            return Leaves((first, *parts), (begun, *made))
        lengths = counted
    raise RenderError(f"{first.name}: how many pages it has changes with their numbers")


def placed(others: Sequence[Document], begun: Made, lengths: Iterable[int] = repeat(USUAL)) -> list[Document]:
    """The parts that follow a first one, from their pages on, where each has so many."""
    return [_on_page(one, at) for one, at in zip(others, _firsts(begun.pages, lengths), strict=False)]


def _length(document: Document, made: Made, presumed: int) -> int:
    """How many pages a part has; as presumed where it was only read, or is not good."""
    return made.pages - document.first + 1 if made.pdf and made.pages else presumed


def _firsts(pages: int, lengths: Iterable[int]) -> Iterator[int]:
    """The number of the first page of each part after so many pages: left-hand ones are even."""
    at = pages + 1
    for length in lengths:
        at += at % 2
        yield at
        at += length


def _on_page(document: Document, first: int) -> Document:
    """A part that goes on, from its first page on."""
    own = f"html {{ break-before: left }}\n@page :first {{ counter-reset: page {first} }}"
    assert isinstance(document.rules, PageRules)  # noqa: S101 - every chapter of a book has them
    return replace(document, css=(own, *document.css), first=first, rules=replace(document.rules, first=first))
