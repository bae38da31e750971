"""A chapter laid out in parts: each is a document of its own, so a change in it costs that part alone."""

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
LOOKED_UP: Final = f"""{TIGHT} h3 {{ margin: 2.4mm 0 0.8mm }} table, .notice, .chart {{ margin-bottom: 2.2mm }}
table + .facts {{ margin-top: -2.2mm; border-top: 0 }} .note > .word, .assumes > .word {{ float: left; margin: 0 }}"""
"""Sets one closer that nobody reads at work: its tables and remarks follow each other quickly."""
OPENED: Final = 2
"""Pages of an opening."""


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

    One with procedures, which is read at work, is wide, and so is an opening; one to look something up is close, and
    parts of it always are, since each ends where it may.
    """
    if chapter.opens or chapter.instructs:
        return "", TIGHT
    return (LOOKED_UP,) if len(chapter.parts()) > 1 else (LOOKED_UP, "")


def bound(
    front: Made, chapters: Sequence[Leaves], index: Made, shown: Sequence[int] | None = None
) -> tuple[Chapter, ...]:
    """First pages, chapters and index, ready to be joined.

    :param shown: places of the chapters that are wanted, from 0; all without it.
    """
    wanted = range(len(chapters)) if shown is None else shown
    parts = ((at, *part) for at in wanted for part in zip(chapters[at].documents, chapters[at].made, strict=True))
    return (
        Chapter(pdf=front.pdf, label="", roman=True),
        *(Chapter(pdf=one.pdf, label=f"{at + 1}-", first=part.first) for at, part, one in parts),
        Chapter(pdf=index.pdf, label=f"{len(chapters) + 1}-"),
    )


def parts_of(chapters: Sequence[Leaves]) -> Iterator[Made]:
    """All parts of some chapters."""
    return (one for chapter in chapters for one in chapter.made)


def laid_out(
    chapter: BookChapter, documents: Sequence[Document], lay_out: Callable[[Sequence[Document]], Sequence[Made]]
) -> Leaves:
    """A chapter, part by part.

    Where a part begins is known once those before it are counted, for which a number of pages is presumed until then;
    only numbers of pages come of it, so one that turns out otherwise has those behind it laid out once more.

    :raises RenderError: when they have other pages then, which no page's number may decide.
    """
    first, *others = documents
    [begun] = lay_out([first])
    lengths = [_presumed(chapter, begun)] * len(others)
    for _ in ("as presumed", "as counted"):
        parts = placed(chapter, others, begun, lengths)
        made = lay_out(parts)
        counted = [_length(*one) for one in zip(parts, made, lengths, strict=True)]
        if counted == lengths:
            return Leaves((first, *parts), (begun, *made))
        lengths = counted
    raise RenderError(f"{first.name}: how many pages it has changes with their numbers")


def placed(
    chapter: BookChapter, others: Sequence[Document], begun: Made, lengths: Iterable[int] | None = None
) -> list[Document]:
    """The parts that follow a first one, from their pages on, where each has so many, or as many as is presumed."""
    firsts = _firsts(chapter, begun, repeat(_presumed(chapter, begun)) if lengths is None else lengths)
    return [_on_page(one, at) for one, at in zip(others, firsts, strict=False)]


def _presumed(chapter: BookChapter, begun: Made) -> int:
    """Pages of each part but the first: those of an opening, or as many as the first has."""
    return OPENED if chapter.opens else begun.pages


def _length(document: Document, made: Made, presumed: int) -> int:
    """How many pages a part has; as presumed where it was only read, or is not good."""
    return made.pages - document.first + 1 if made.pdf and made.pages else presumed


def _firsts(chapter: BookChapter, begun: Made, lengths: Iterable[int]) -> Iterator[int]:
    """The number of the first page of each part that follows one; left-hand ones are even."""
    at = begun.pages + 1
    for length in lengths:
        at += at % 2 if chapter.opens else 0
        yield at
        at += length


def _on_page(document: Document, first: int) -> Document:
    """A part that goes on, from its first page on."""
    side = "right" if first % 2 else "left"
    own = f"html {{ break-before: {side} }}\n@page :first {{ counter-reset: page {first} }}"
    assert isinstance(document.rules, PageRules)  # noqa: S101 - every chapter of a book has them
    return replace(document, css=(own, *document.css), first=first, rules=replace(document.rules, first=first))
