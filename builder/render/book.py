"""The whole handbook as one HTML document and one stylesheet, ready for the PDF engine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from builder.base.errors import RenderError
from builder.figures.figure import Figure
from builder.pages.blocks import Block, Chart, Heading, Inlines, ItemList, Notice, Page, Table, Text
from builder.pages.handbook.uses import USES
from builder.render.markup import CAUTION, INVENTED, Marker, Section, SiteFacts, checked_path, hint, looked_up
from builder.render.templates import fill, stylesheet

PAPERS = ("A4", "Letter")
RESERVED = ("book-cover", "book-contents")
ON_THEIR_OWN = ("area:", "procedure:")
"""What is taken to the place of work without the rest of the book; every other page follows the one before it."""
MOST_BESIDE = 14
"""Rows of two columns that are no higher than the chart they stand beside."""


@dataclass(frozen=True, slots=True)
class Chapter:
    """A page in its place in the book."""

    page: Page
    marker: Marker
    part: str
    """Title of the part that begins with this page, else empty."""
    groups: tuple[tuple[Block, ...], ...]
    """Its blocks; a chart and the numbers it is drawn from are one group of two, in either order."""
    uses: tuple[tuple[Inlines, ...], ...]
    """Rows of what uses the thing, set as a few lines of words, since on paper nobody can follow them."""

    @property
    def sheet(self) -> bool:
        """Whether it begins on a new sheet of paper."""
        return bool(self.part) or self.page.id.startswith(ON_THEIR_OWN)


def book_html(
    pages: Sequence[Page],
    figures: Mapping[str, Figure],
    hrefs: Mapping[str, str],
    sections: Sequence[Section],
    facts: SiteFacts,
) -> str:
    """The document: cover, contents with page numbers, then every page that is ``in_pdf``.

    Pages come in the order of their sections, and within a section in the order given. A link to a page of the book
    leads there; a link to anything else in the site (a card, a page that is not printed) is set as plain words.

    :raises RenderError: for an unknown figure, target, section or anchor, or two pages with one id.
    """
    ordered = _ordered(pages, sections)
    places = _places(ordered)
    titles = {section.id: section.title for section in sections}
    chapters = []
    last = ""
    for page in ordered:
        marker = _marker(page, figures, hrefs, places)
        blocks, uses = _without_uses(page.blocks)
        part = titles[page.section] if page.section != last else ""
        chapters.append(Chapter(page, marker, part, _groups(blocks), uses))
        last = page.section
    return fill("html/book.html", chapters=chapters, facts=facts, caution=CAUTION, invented=INVENTED, uses=USES)


def book_css(paper: str = "A4") -> str:
    """The stylesheet of the book for ``A4`` or ``Letter``; the engine declares the faces.

    :raises RenderError: for another paper.
    """
    if paper not in PAPERS:
        raise RenderError(f"unknown paper {paper!r}; allowed: {', '.join(PAPERS)}")
    return f"@page {{ size: {paper} }}\n{stylesheet('book.css')}"


def _ordered(pages: Sequence[Page], sections: Sequence[Section]) -> list[Page]:
    rank = {section.id: number for number, section in enumerate(sections)}
    printed = [page for page in pages if page.in_pdf]
    for page in printed:
        if page.section not in rank:
            raise RenderError(f"{page.id}: no section is called {page.section!r}{hint(page.section, rank)}")
    return sorted(printed, key=lambda page: rank[page.section])


def _without_uses(blocks: tuple[Block, ...]) -> tuple[tuple[Block, ...], tuple[tuple[Inlines, ...], ...]]:
    """The blocks without the table at their end that says what uses the thing, and its rows."""
    match blocks:
        case (*before, Heading(content=(Text(text=words),)), Table(kind="facts", rows=rows)) if words == USES:
            return tuple(before), rows
    return blocks, ()


def _groups(blocks: Sequence[Block]) -> tuple[tuple[Block, ...], ...]:
    made: list[tuple[Block, ...]] = []
    for block in blocks:
        if made and len(made[-1]) == 1 and _beside(made[-1][0], block):
            made[-1] = (*made[-1], block)
        else:
            made.append((block,))
    return tuple(made)


def _beside(one: Block, other: Block) -> bool:
    """Whether two blocks are a chart and a table narrow and short enough to stand beside it."""
    match (one, other):
        case (Chart(), Table() as table) | (Table() as table, Chart()):
            return len(table.columns) == 2 and 0 < len(table.rows) <= MOST_BESIDE  # noqa: PLR2004 - a pair
    return False


def _places(pages: Sequence[Page]) -> dict[str, str]:
    """Site path, with and without anchor -> id in the book."""
    places: dict[str, str] = {}
    taken = set(RESERVED)
    for page in pages:
        here = {page.path: page.id}
        here.update({f"{page.path}#{anchor}": f"{page.id}--{anchor}" for anchor in _anchors(page.blocks)})
        for place in (place for place in here.values() if place in taken):
            raise RenderError(f"{page.id}: {place!r} stands twice in the book")
        if page.path in places:
            raise RenderError(f"{page.id}: another page has the path {page.path!r}")
        taken.update(here.values())
        places.update(here)
    return places


def _anchors(blocks: Sequence[Block]) -> list[str]:
    found: list[str] = []
    for block in blocks:
        if isinstance(block, Heading):
            found += [block.anchor] if block.anchor else []
        elif isinstance(block, Notice):
            found += _anchors(block.content)
        elif isinstance(block, ItemList):
            for item in block.items:
                found += _anchors(item)
    return found


def _marker(page: Page, figures: Mapping[str, Figure], hrefs: Mapping[str, str], places: Mapping[str, str]) -> Marker:
    def resolve(target: str) -> str:
        path = checked_path(looked_up(target, hrefs, page.id), target)
        if path in places:
            return f"#{places[path]}"
        if path.partition("#")[0] in places:
            raise RenderError(f"{page.id}: {target!r} leads to {path!r}, which has no such anchor")
        return ""

    return Marker(figures, resolve, page=page.id, shift=1, prefix=f"{page.id}--", paper=True)
