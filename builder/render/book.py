"""Printed books: each chapter a document of its own, then contents, index and frames of pages, then one PDF."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Future
from dataclasses import dataclass
from typing import Final

from builder.base.digest import digest
from builder.base.errors import RenderError
from builder.base.sources import sources_digest
from builder.base.store import Store
from builder.figures.figure import Figure
from builder.pages.blocks import Page, figures_in
from builder.pages.books.book import Book
from builder.render.book_marker import BookMarker, Places, Section, places_of
from builder.render.book_rules import PageRules
from builder.render.documents import Document, Made, document_job, refuse_faults
from builder.render.jobs import Workshop, job, results
from builder.render.joining import ELSEWHERE, Chapter, joined
from builder.render.markup import CAUTION, INVENTED, SiteFacts
from builder.render.page_cache import PageCache
from builder.render.templates import fill, stylesheet
from builder.render.workers import surroundings

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
        for book in self._books:
            book.keep(workshop.store)
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

    # ---- what is kept -----------------------------------------------------------

    def keep(self, store: Store) -> None:
        """Take the text of documents from ``store`` where nothing that they were made from changed."""
        places, book = self._places, self._book
        where = [[name, dict(places.sections[name]), sorted(places.anchors[name])] for name in places.sections]
        told = [places.titles, where, self._printing.about, book.id, book.title, book.purpose]
        basis = digest(sources_digest(__name__), surroundings(), told)
        self._kept = PageCache(store, basis, self._printing.figures, self._printing.hrefs, self._written)

    def _written(self, text: _Text, figures: Mapping[str, Figure], hrefs: Mapping[str, str]) -> bytes:
        def marked(page: Page) -> tuple[Page, BookMarker]:
            return page, BookMarker(figures, hrefs, self._places, self._book.id, page.id, text.number)

        return fill(
            f"html/{text.template}.html", facts=self._printing.about, book=_Named(self._book.title, self._book.purpose),
            number=text.number, title=text.title, pages=[marked(page) for page in text.pages],
            framed={name: marked(page) for name, page in text.framed}, contents=text.contents, index=text.index,
            frames=text.frames, caution=CAUTION, invented=INVENTED,
        ).encode()  # fmt: skip

    def _html(self, text: _Text) -> str:
        return self._kept.rendered(text).decode()

    # ---- chapters ---------------------------------------------------------------

    def chapters(self) -> Iterator[Document]:
        """Every chapter but the index."""
        for number, chapter in enumerate(self._book.chapters, start=1):
            html = self._html(_Text("chapter", number, chapter.title, pages=chapter.pages))
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

    # ---- what is made of counted pages --------------------------------------------

    def around(self, chapters: Sequence[Made]) -> tuple[Document, Document, Document]:
        """The first pages, the index, and the frames of all."""
        labels: dict[str, str] = {}
        for number, chapter in enumerate(chapters, start=1):
            labels.update({place: f"{number}-{page}" for place, page in chapter.anchors})
        number = len(chapters) + 1
        html = self._html(_Text("index", number, INDEX, index=self._index(labels)))
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
        framed = (("inside", self._book.inside), ("changes", self._book.changes))
        shown = tuple((name, page) for name, page in framed if page)
        html = self._html(_Text("front", 0, "", framed=shown, contents=tuple(contents)))
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
        html = self._html(_Text("frames", 0, "", frames=tuple(frames)))
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
class _Named:
    """What documents say of their book."""

    title: str
    purpose: str


@dataclass(frozen=True, slots=True)
class _Text:
    """What one document is filled with, beside what all of its book share."""

    template: str
    number: int
    """Of the chapter, 0 for what belongs to none."""
    title: str
    pages: tuple[Page, ...] = ()
    framed: tuple[tuple[str, Page], ...] = ()
    contents: tuple[_Part, ...] = ()
    index: tuple[_Entry, ...] = ()
    frames: tuple[_Frame, ...] = ()


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
