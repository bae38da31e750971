"""How pages become markup in a printed book: places are named by the numbers of their sections."""

from collections.abc import Mapping, Sequence

from builder.base.errors import RenderError
from builder.base.record import dataclass
from builder.figures.figure import NO_BREAK_SPACE, Figure
from builder.pages.blocks import Block, Heading, ItemList, Link, Notice, Table
from builder.pages.books.book import Book
from builder.render.binding import ELSEWHERE
from builder.render.links import checked_path, looked_up
from builder.render.markup import FigureMark, Marker
from builder.render.typeset import typeset

INDEX = "Index"
"""Title of the last chapter of a book."""
NAMED = ("procedure:", "page:")
"""Kinds of things that are looked up in another book; a gas or a detector is known by its name."""
LONGEST_WHOLE = 20
"""Letters of a figure up to which it is kept on one line."""


@dataclass(frozen=True, slots=True)
class Section:
    """Where a page stands."""

    place: str
    """Its id in its book."""
    chapter: int
    number: int
    """From 1 within its chapter."""
    part: int = 0
    """The part of its chapter that it stands in, from 0."""

    def __str__(self) -> str:
        """As readers find it: ``4.2``."""
        return f"{self.chapter}.{self.number}"


@dataclass(frozen=True, slots=True)
class Places:
    """Every place of every book, by its path in the site."""

    sections: Mapping[str, Mapping[tuple[str, str], Section]]
    """Id of a book -> path of a page, and a place inside it or nothing -> where it stands there."""
    titles: Mapping[str, str]
    """Id of a book -> its title."""


def places_of(books: Sequence[Book]) -> Places:
    """Number all sections of these books.

    :raises RenderError: when a place stands twice in a book.
    """
    sections: dict[str, Mapping[tuple[str, str], Section]] = {}
    for book in books:
        found: dict[tuple[str, str], Section] = {}
        taken: set[str] = set()
        for number, chapter in enumerate(book.chapters, start=1):
            parted = [(part, page) for part, pages in enumerate(chapter.parts()) for page in pages]
            for at, (part, page) in enumerate(parted, start=1):
                if page.id in taken:
                    raise RenderError(f"{book.title}: {page.id!r} stands twice")
                taken.add(page.id)
                for anchor in ("", *_anchors(page.blocks)):
                    found.setdefault((page.path, anchor), Section(page.id, number, at, part))
        sections[book.id] = found
    return Places(sections, {book.id: book.title for book in books})


def titles_in(book: Book) -> dict[str, str]:
    """Each place that a link in a book leads to -> its number and title, for who hears where it leads."""
    found = {page.id: page.title for page in (book.inside, book.changes) if page}
    for number, chapter in enumerate(book.chapters, start=1):
        found[f"chapter-{number}"] = f"{number} {chapter.title}"
        sections = (Section(page.id, number, at) for at, page in enumerate(chapter.pages, start=1))
        found |= {page.id: f"{section} {page.title}" for section, page in zip(sections, chapter.pages, strict=True)}
    number = len(book.chapters) + 1
    return {**found, f"chapter-{number}": f"{number} {INDEX}"}


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
        elif isinstance(block, Table):
            found += block.row_ids
    return found


class BookMarker(Marker):
    """Decides what the templates print on a page of a book."""

    def __init__(
        self,
        figures: Mapping[str, Figure],
        hrefs: Mapping[str, str],
        places: Places,
        book: str,
        page: str,
        document: tuple[int, int],
    ) -> None:
        """``document`` is the chapter and the part of it that the page stands in."""
        super().__init__(figures, self._place, page=page, shift=1, prefix=f"{page}--", paper=True, unmarked=True)
        self.book = True
        self._hrefs, self._places, self._in, self._document = hrefs, places, book, document
        self._named: set[str] = set()

    def _section(self, target: str, book: str) -> tuple[Section | None, str]:
        """Where a thing stands in a book, and the place inside that section, if it has one."""
        path, _, anchor = checked_path(looked_up(target, self._hrefs, self._page), target).partition("#")
        inner = self._places.sections[book].get((path, anchor))
        return (inner, anchor) if inner else (self._places.sections[book].get((path, "")), "")

    def _place(self, target: str) -> str:
        """A link to where a thing stands in this book, empty where it has none."""
        section, anchor = self._section(target, self._in)
        if section is None:
            return ""
        place = f"{section.place}--{anchor}" if anchor else section.place
        return f"#{place}" if (section.chapter, section.part) == self._document else f"{ELSEWHERE}{place}"

    def section(self, node: Link) -> str:
        """The number of the section that a link leads to, once a page; of another book with its name."""
        if node.quiet or node.target in self._named:
            return ""
        self._named.add(node.target)
        others = (name for name in self._places.sections if name != self._in and node.target.startswith(NAMED))
        for name in (self._in, *others):
            section, _ = self._section(node.target, name)
            if section is not None and section.place != self._page:
                title = "" if name == self._in else f"{self._places.titles[name].lower()} "
                return f"{NO_BREAK_SPACE}({title}{section})"
        return ""

    def whole(self, mark: FigureMark) -> str:
        """A figure that no line end cuts, unless it is long."""
        text = typeset(NO_BREAK_SPACE.join(part for part in (mark.text, mark.unit) if part))
        return text.replace(" ", NO_BREAK_SPACE) if len(text) <= LONGEST_WHOLE else text
