"""Printed books: each chapter a document of its own, then contents, index and frames of pages, then one PDF."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Future
from dataclasses import dataclass
from typing import Final

from builder.base.errors import RenderError
from builder.figures.figure import Figure
from builder.pages.blocks import Page, figures_in
from builder.pages.books.book import Book
from builder.render.book_marker import BookMarker, Places, Section, places_of
from builder.render.book_rules import PageRules
from builder.render.documents import Document, Made, document_job, refuse_faults
from builder.render.jobs import Workshop, job, results
from builder.render.joining import ELSEWHERE, Chapter, joined
from builder.render.markup import CAUTION, INVENTED, SiteFacts
from builder.render.templates import fill, stylesheet

PAPERS: Final = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height in mm."""
KIND: Final = "chapters"
TAB_TOP, TAB_STEP = 30, 16
"""Top of the first thumb tab and the way from one to the next, in mm."""
MOST_TABS: Final = 14
"""Tabs below each other; those after them begin at the top again."""
JOIN_COST: Final = 1.0
INDEX: Final = "Index"
"""Title of the last chapter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printing:
    """What all books of a site share."""

    figures: Mapping[str, Figure]
    hrefs: Mapping[str, str]
    """Reference -> path in the site, from which it is known where a link leads in a book."""
    about: SiteFacts
    paper: str


class Bindery:
    """Lays books out: ``start`` hands their chapters to a workshop, ``bound`` waits for them and binds them."""

    def __init__(self, books: Sequence[Book], printing: Printing) -> None:
        """Take what is to be printed.

        :raises RenderError: for another paper, or a place that stands twice in a book.
        """
        if printing.paper not in PAPERS:
            raise RenderError(f"unknown paper {printing.paper!r}; allowed: {', '.join(PAPERS)}")
        places = places_of(books)
        self._books = [_Binding(book, printing, places) for book in books]
        self.documents: list[Document] = []
        """Everything that was handed to the workshop so far."""

    def start(self, workshop: Workshop) -> None:
        """Begin every chapter; contents and index wait for their pages to be counted.

        :raises RenderError: when a page cannot be set faithfully.
        """
        every = [(book, document) for book in self._books for document in book.chapters()]
        coming = self._laid_out(workshop, [document for _, document in every])
        for (book, _), made in zip(every, coming, strict=True):
            book.coming.append(made)

    def bound(self, workshop: Workshop) -> tuple[dict[str, bytes], list[str]]:
        """Path -> PDF of each book, and what its author is to be told.

        :raises FitError: with every fault of every page.
        :raises RenderError: when a page cannot be set faithfully.
        """
        made = [results(book.coming) for book in self._books]
        refuse_faults(one for chapters in made for one in chapters)
        around = [
            self._laid_out(workshop, book.around(chapters)) for book, chapters in zip(self._books, made, strict=True)
        ]
        files, notes = {}, []
        for book, chapters, coming in zip(self._books, made, around, strict=True):
            front, index, frames = results(coming)
            refuse_faults((front, index, frames))
            bound = (front, *chapters, index)
            notes += [note for one in bound for note in one.notes]
            (files[book.path],) = workshop.run([job(KIND, JOIN_COST, joined, book.parts(bound), frames.pdf)])
        return files, notes

    def _laid_out(self, workshop: Workshop, documents: Sequence[Document]) -> list[Future[Made]]:
        self.documents += documents
        return workshop.start([document_job(KIND, document) for document in documents])


class _Binding:
    """One book on its way."""

    def __init__(self, book: Book, printing: Printing, places: Places) -> None:
        self._book, self._printing, self._places = book, printing, places
        self.path = book.path
        self.coming: list[Future[Made]] = []

    # ---- chapters ---------------------------------------------------------------

    def chapters(self) -> Iterator[Document]:
        """Every chapter but the index."""
        for number, chapter in enumerate(self._book.chapters, start=1):
            pages = tuple((page, self._marker(page, number)) for page in chapter.pages)
            html = fill("html/chapter.html", facts=self._printing.about, book=self._book, number=number,
                        title=chapter.title, pages=pages)  # fmt: skip
            yield self._numbered(number, chapter.title, html)

    def _numbered(self, number: int, title: str, html: str) -> Document:
        label = f"{number}-"
        return self._named(f"{number} {title}", html, chapter_css(self._printing.paper, label), label)

    def _named(self, name: str, html: str, css: tuple[str, ...], label: str) -> Document:
        about = self._printing.about
        return Document(
            name=f"{self._book.title}, {name}",
            html=html,
            css=css,
            title=f"{self._book.title} · {about.name}",
            language=about.language,
            rules=PageRules(name=f"{self._book.title}, {name}", label=label),
        )

    def _marker(self, page: Page, number: int) -> BookMarker:
        printing = self._printing
        return BookMarker(printing.figures, printing.hrefs, self._places, self._book.id, page.id, number)

    # ---- what is made of counted pages --------------------------------------------

    def around(self, chapters: Sequence[Made]) -> tuple[Document, Document, Document]:
        """The first pages, the index, and the frames of all."""
        labels: dict[str, str] = {}
        for number, chapter in enumerate(chapters, start=1):
            labels.update({place: f"{number}-{page}" for place, page in chapter.anchors})
        number = len(chapters) + 1
        html = fill("html/index.html", facts=self._printing.about, book=self._book, number=number,
                    title=INDEX, index=self._index(labels))  # fmt: skip
        return self._front(labels), self._numbered(number, INDEX, html), self._frames()

    def _front(self, labels: Mapping[str, str]) -> Document:
        contents = []
        for number, chapter in enumerate(self._book.chapters, start=1):
            sections = tuple(
                _Line(str(Section(page.id, number, at)), page.title, ELSEWHERE + page.id, labels[page.id])
                for at, page in enumerate(chapter.pages, start=1)
            )
            contents.append(_part(number, chapter.title, sections))
        contents.append(_part(len(contents) + 1, INDEX, ()))
        framed = {name: (page, self._marker(page, 0)) for name, page in
                  (("inside", self._book.inside), ("changes", self._book.changes)) if page}  # fmt: skip
        html = fill(
            "html/front.html", facts=self._printing.about, book=self._book, contents=contents,
            framed=framed, caution=CAUTION, invented=INVENTED,
        )  # fmt: skip
        return self._named("first pages", html, (*chapter_css(self._printing.paper, "", "lower-roman"),), "")

    def _index(self, labels: Mapping[str, str]) -> tuple[_Entry, ...]:
        found = []
        for entry in self._book.index:
            named = [name for name in (entry.main, *entry.others) if name in labels]
            first = {labels[name]: ELSEWHERE + name for name in reversed(named)}
            places = tuple((first[label], label) for label in dict.fromkeys(labels[name] for name in named))
            if places:
                found.append(_Entry(entry.title, bool(entry.main), places))
        return tuple(found)

    def _frames(self) -> Document:
        """Two pages for each chapter, the first pages included: what stands around right-hand and left-hand ones."""
        frames = [_Frame("", "", 0)]
        for number, title in enumerate((*(chapter.title for chapter in self._book.chapters), INDEX), start=1):
            frames.append(_Frame(str(number), title, TAB_TOP + TAB_STEP * ((number - 1) % MOST_TABS)))
        html = fill("html/frames.html", facts=self._printing.about, book=self._book, frames=frames)
        width, height = PAPERS[self._printing.paper]
        size = f"@page {{ size: {self._printing.paper} }}\ndiv {{ width: {width}mm; height: {height}mm }}"
        about = self._printing.about
        return Document(name=f"{self._book.title}, frames", html=html, css=(size, stylesheet("frames.css")),
                        title=self._book.title, language=about.language)  # fmt: skip

    def parts(self, made: Sequence[Made]) -> tuple[Chapter, ...]:
        """First pages and chapters, ready to be joined."""
        front, *chapters = made
        numbered = (Chapter(pdf=one.pdf, label=f"{number}-") for number, one in enumerate(chapters, start=1))
        return (Chapter(pdf=front.pdf, label="", roman=True), *numbered)


# ---- what templates are given -------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Line:
    number: str
    title: str
    place: str
    page: str


@dataclass(frozen=True, slots=True)
class _Part:
    number: str
    title: str
    place: str
    page: str
    sections: tuple[_Line, ...]


def _part(number: int, title: str, sections: tuple[_Line, ...]) -> _Part:
    return _Part(str(number), title, f"{ELSEWHERE}chapter-{number}", f"{number}-1", sections)


@dataclass(frozen=True, slots=True)
class _Entry:
    title: str
    main: bool
    places: tuple[tuple[str, str], ...]
    """(link, number of the page)."""


@dataclass(frozen=True, slots=True)
class _Frame:
    number: str
    title: str
    top: float


def chapter_css(paper: str, label: str, style: str = "decimal") -> tuple[str, str]:
    """The style sheets of a chapter: what holds for it alone, and what holds for all."""
    count = f'"{label}" counter(page, {style})'
    own = (
        f"@page {{ size: {paper} }}\n"
        f"@page :right {{ @bottom-right {{ content: {count} }} }}\n"
        f"@page :left {{ @bottom-left {{ content: {count} }} }}"
    )
    return own, stylesheet("book.css")


def printed_figures(book: Book) -> tuple[str, ...]:
    """Keys of all figures of a book, in reading order, each once."""
    return tuple(dict.fromkeys(key for page in book.pages() for key in figures_in(page)))
