"""Printed books: each chapter a document of its own, then contents, index and frames of pages, then one PDF."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future
from dataclasses import field, replace
from pathlib import PurePosixPath
from typing import Final, NamedTuple

from builder.base.digest import digest
from builder.base.record import dataclass
from builder.base.sources import sources_digest
from builder.base.store import Store
from builder.figures.figure import Figure
from builder.history.chapters import ChaptersTold, ChapterTold
from builder.pages.books.book import Book, BookChapter, changed_path
from builder.pages.compositions import Page
from builder.render.binding import ELSEWHERE, Chapter, joined
from builder.render.book_marker import INDEX, BookMarker, Places, Section, places_of, titles_in
from builder.render.book_rules import PageRules
from builder.render.book_texts import DocumentText, Entry, Frame, Line, Named, part
from builder.render.documents import Document, Made, document_job, refuse_faults
from builder.render.formats import paper
from builder.render.jobs import Workshop, job, results
from builder.render.leaves import Leaves, bound, laid_out, parts_of, placed, settings_of
from builder.render.loose_leaves import change_sheet, chapters_told, must_be_there, new_among, revision_words
from builder.render.markup import CAUTION, INVENTED, SiteFacts
from builder.render.page_cache import PageCache
from builder.render.templates import fill, stylesheet
from builder.render.workers import surroundings

CLOSER: Final = {
    "Letter": ("@page { margin-top: 17mm; margin-bottom: 16mm }\nhtml { font-size: 9.2pt; line-height: 1.28 }",)
}
"""What a paper that is shorter by 18 mm adds, so that it needs no more pages than A4."""
KIND: Final = "chapters"
TAB_TOP, TAB_STEP = 30, 16
"""Top of the first thumb tab and the way from one to the next, in mm."""
MOST_TABS: Final = 14
"""Tabs below each other; those after them begin at the top again."""
JOIN_COST: Final = 1.0
SHEET: Final = "sheet "
"""Begins the numbers of pages of a change sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printing:
    """What all books of a site share."""

    figures: Mapping[str, Figure]
    hrefs: Mapping[str, str]
    """Reference -> path in the site, from which it is known where a link leads in a book."""
    about: SiteFacts
    paper: str
    releasing: int = 0
    """Number of the revision being released; 0 for a draft."""
    before: ChaptersTold = field(default_factory=dict)
    """What the release before printed."""


class Bound(NamedTuple):
    """Books that are ready."""

    files: dict[str, bytes]
    """Path -> PDF of each book; of a release also of its changed pages."""
    notes: list[str]
    """What their author is to be told."""
    chapters: ChaptersTold


class Bindery:
    """Lays books out: ``start`` hands their chapters to a workshop, ``bound`` waits for them and binds them."""

    def __init__(self, books: Sequence[Book], printing: Printing) -> None:
        """Take what is to be printed.

        :raises RenderError: for another paper, or a place that stands twice in a book.
        """
        paper(printing.paper)
        places = places_of(books)
        self._books = [_Binding(book, printing, places) for book in books]
        self._releasing = printing.releasing
        self._begun: dict[Document, Future[Made]] = {}
        """Everything that was handed to the workshop so far."""

    def start(self, workshop: Workshop) -> None:
        """Begin every chapter; what waits for counted pages follows, where a first part was kept at once.

        :raises RenderError: when a page cannot be set faithfully.
        """
        for book in self._books:
            book.keep(workshop.store)
            book.fill_chapters()
            book.kept.keep()
        self._laid_out(workshop, [parts[0] for book in self._books for _, parts in book.parted])
        self._go_on(workshop, waiting=False)

    def _go_on(self, workshop: Workshop, *, waiting: bool) -> None:
        """Begin the other parts of every chapter whose first one is there, or else waited for."""
        for chapter, (first, *others) in (one for book in self._books for one in book.parted):
            [begun] = self._laid_out(workshop, [first])
            if waiting or (begun.done() and begun.exception() is None):
                self._laid_out(workshop, placed(chapter, others, results([begun])[0]))

    def bound(self, workshop: Workshop) -> Bound:
        """Every book, joined.

        :raises FitError: with every fault of every page.
        :raises RenderError: when a page cannot be set faithfully.
        """
        self._go_on(workshop, waiting=True)
        made = [book.whole(lambda parts: results(self._laid_out(workshop, parts))) for book in self._books]
        refuse_faults(one for chapters in made for one in parts_of(chapters))
        every = list(zip(self._books, made, strict=True))
        around = [self._laid_out(workshop, book.around(chapters)) for book, chapters in every]
        notes, told = [], {}
        joining: dict[str, list[Future[bytes]]] = {}
        for (book, chapters), coming in zip(every, around, strict=True):
            front, index, frames = results(coming)
            refuse_faults((front, index, frames))
            notes += [note for one in (front, *parts_of(chapters), index) for note in one.notes]
            parts = bound(front, chapters, index)
            joining[book.path] = workshop.start([job(KIND, JOIN_COST, joined, parts, frames.pdf, book.titles)])
            told[book.name] = book.told(chapters)
            if self._releasing:
                sheet, around_changed = results(self._laid_out(workshop, book.changed(chapters, index)))
                refuse_faults((sheet, around_changed))
                parts = book.changed_parts(sheet, front, chapters, index)
                whole = f"../{PurePosixPath(book.path).name}"
                changed = job(KIND, JOIN_COST, joined, parts, around_changed.pdf, book.titles, whole)
                joining[changed_path(book.name)] = workshop.start([changed])
        for book in self._books:
            book.kept.keep()
        return Bound({path: results(coming)[0] for path, coming in joining.items()}, notes, told)

    def _laid_out(self, workshop: Workshop, documents: Sequence[Document]) -> list[Future[Made]]:
        new = [document for document in documents if document not in self._begun]
        self._begun |= zip(new, workshop.start([document_job(document) for document in new]), strict=True)
        return [self._begun[document] for document in documents]


class _Binding:
    """One book on its way."""

    def __init__(self, book: Book, printing: Printing, places: Places) -> None:
        self._book, self._printing, self._places = book, printing, places
        self.path, self.name, self.titles = book.path, book.id, titles_in(book)
        self._before = printing.before.get(book.id, ())
        self.parted: list[tuple[BookChapter, list[Document]]] = []
        """Each chapter but the index, with all its parts."""

    # ---- what is kept -----------------------------------------------------------

    def keep(self, store: Store) -> None:
        """Take the text of documents from ``store`` where nothing that they were made from changed."""
        places, book, printing = self._places, self._book, self._printing
        where = [[name, dict(places.sections[name])] for name in places.sections]
        told = [places.titles, where, printing.about, book.id, book.title, book.purpose]
        basis, known = digest(sources_digest(__name__), surroundings(), told), (printing.figures, printing.hrefs)
        self.kept: PageCache[DocumentText] = PageCache(store, basis, known, self._written)

    def _written(self, text: DocumentText, figures: Mapping[str, Figure], hrefs: Mapping[str, str]) -> bytes:
        def marked(page: Page) -> tuple[Page, BookMarker]:
            document = text.number, text.part
            return page, BookMarker(figures, hrefs, self._places, self._book.id, page.id, document)

        return fill(
            f"html/{text.template}.html", facts=self._printing.about, book=Named(self._book.title, self._book.purpose),
            number=text.number, title=text.title, pages=[marked(page) for page in text.pages],
            sections_before=text.sections_before,
            framed={name: marked(page) for name, page in text.framed}, contents=text.contents, index=text.index,
            frames=text.frames, sheet=text.sheet, caution=CAUTION, invented=INVENTED,
        ).encode()  # fmt: skip

    def _html(self, text: DocumentText) -> str:
        return self.kept.rendered(text).data().decode()

    # ---- chapters ---------------------------------------------------------------

    def fill_chapters(self) -> None:
        """Fill every chapter but the index, part by part."""
        self.parted = [(one, list(self._chapter(at, one))) for at, one in enumerate(self._book.chapters, start=1)]

    def _chapter(self, number: int, chapter: BookChapter) -> Iterator[Document]:
        before = 0
        for at, pages in enumerate(chapter.parts()):
            title = "" if at else chapter.title
            html = self._html(DocumentText("chapter", number, title, pages=pages, part=at, sections_before=before))
            yield replace(self._numbered(number, chapter.title, html), settings=settings_of(chapter))
            before += len(pages)

    def whole(self, lay_out: Callable[[Sequence[Document]], Sequence[Made]]) -> tuple[Leaves, ...]:
        """Every chapter but the index."""
        return tuple(laid_out(chapter, parts, lay_out) for chapter, parts in self.parted)

    def _numbered(self, number: int, title: str, html: str) -> Document:
        return self._named(f"{number} {title}", html, chapter_css(self._printing.paper, f"{number}-"), f"{number}-")

    def _named(self, name: str, html: str, css: tuple[str, ...], label: str) -> Document:
        about = self._printing.about
        return Document(
            name=f"{self._book.title}, {name}", html=html, css=css, title=f"{self._book.title} · {about.name}",
            language=about.language, rules=PageRules(name=f"{self._book.title}, {name}", label=label),
        )  # fmt: skip

    # ---- what is made of counted pages --------------------------------------------

    def around(self, chapters: Sequence[Leaves]) -> tuple[Document, Document, Document]:
        """The first pages, the index, and the frames of all."""
        labels: dict[str, str] = {}
        for number, chapter in enumerate(chapters, start=1):
            labels.update({place: f"{number}-{page}" for place, page in chapter.anchors})
        number = len(chapters) + 1
        html = self._html(DocumentText("index", number, INDEX, index=self._index(labels)))
        told = self.told(chapters)
        return self._front(labels, told), self._numbered(number, INDEX, html), self._framed(self._frames(told))

    def _front(self, labels: Mapping[str, str], told: Sequence[ChapterTold]) -> Document:
        contents = []
        for number, (chapter, printed) in enumerate(zip(self._book.chapters, told, strict=True), start=1):
            sections = tuple(
                Line(str(Section(page.id, number, at)), page.title, ELSEWHERE + page.id, labels[page.id])
                for at, page in enumerate(chapter.pages, start=1)
            )
            held = must_be_there(printed, released=bool(self._printing.releasing))
            contents.append(part(number, chapter.title, sections, held))
        contents.append(part(len(contents) + 1, INDEX, ()))
        framed = (("inside", self._book.inside), ("changes", self._book.changes))
        shown = tuple((name, page) for name, page in framed if page)
        html = self._html(DocumentText("front", 0, "", framed=shown, contents=tuple(contents)))
        return self._named("first pages", html, (*chapter_css(self._printing.paper, "", "lower-roman"),), "")

    def _index(self, labels: Mapping[str, str]) -> tuple[Entry, ...]:
        found = []
        for entry in self._book.index:
            named = [name for name in (entry.main, *entry.others) if name in labels]
            first = {labels[name]: ELSEWHERE + name for name in reversed(named)}
            places = tuple((first[label], label) for label in dict.fromkeys(labels[name] for name in named))
            if places:
                found.append(Entry(entry.title, bool(entry.main), places))
        return tuple(found)

    def _frames(self, told: Sequence[ChapterTold]) -> tuple[Frame, ...]:
        """What stands around the pages of each chapter, the first pages and the index included."""
        frames = [Frame("", "", 0)]
        issues = [*(revision_words(one) if self._printing.releasing else "" for one in told), ""]
        titles = [*(chapter.title for chapter in self._book.chapters), INDEX]
        for number, (title, issue) in enumerate(zip(titles, issues, strict=True), start=1):
            frames.append(Frame(str(number), title, TAB_TOP + TAB_STEP * ((number - 1) % MOST_TABS), issue))
        return tuple(frames)

    def _framed(self, frames: tuple[Frame, ...]) -> Document:
        """Two pages for each chapter: what stands around right-hand and left-hand ones."""
        html = self._html(DocumentText("frames", 0, "", frames=frames))
        sheet = paper(self._printing.paper)
        size = f"@page {{ size: {sheet.name} }}\ndiv {{ width: {sheet.width}mm; height: {sheet.height}mm }}"
        about = self._printing.about
        return Document(name=f"{self._book.title}, frames", html=html, css=(size, stylesheet("frames.css")),
                        title=self._book.title, language=about.language)  # fmt: skip

    # ---- loose leaves -------------------------------------------------------------

    def told(self, chapters: Sequence[Leaves]) -> tuple[ChapterTold, ...]:
        """What each chapter prints, and since when."""
        shop = self._printing
        return chapters_told(self._book, chapters, shop.about, self._before, shop.releasing)

    def changed(self, chapters: Sequence[Leaves], index: Made) -> tuple[Document, Document]:
        """The sheet that goes before the changed pages, and what stands around all of them."""
        told = self.told(chapters)
        html = self._html(DocumentText("changed", 0, "", sheet=change_sheet(told, self._before, index)))
        sheet = self._named("change sheet", html, chapter_css(self._printing.paper, SHEET), SHEET)
        front, *frames = self._frames(told)
        new = (frames[at] for at in new_among(told, self._before))
        framed = self._framed((front, front, *new, frames[-1]))
        return replace(sheet, title=f"Changed pages, {sheet.title}"), framed

    def changed_parts(self, sheet: Made, front: Made, chapters: Sequence[Leaves], index: Made) -> tuple[Chapter, ...]:
        """The sheet, first pages, the chapters that changed and the index, ready to be joined."""
        new = new_among(self.told(chapters), self._before)
        return (Chapter(pdf=sheet.pdf, label=SHEET), *bound(front, chapters, index, new))


def chapter_css(paper: str, label: str, style: str = "decimal") -> tuple[str, ...]:
    """The style sheets of a chapter: what holds for it alone, and what holds for all."""
    count = f'"{label}" counter(page, {style})'
    own = (
        f"@page {{ size: {paper} }}\n"
        f"@page :right {{ @bottom-right {{ content: {count} }} }}\n"
        f"@page :left {{ @bottom-left {{ content: {count} }} }}"
    )
    return own, stylesheet("book.css"), *CLOSER.get(paper, ())


def printed_figures(book: Book) -> tuple[str, ...]:
    """Keys of all figures of a book, in reading order, each once."""
    return tuple(dict.fromkeys(key for page in book.pages() for key in page.figures))
