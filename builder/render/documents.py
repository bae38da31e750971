"""A printed document as plain data, and the one way from it to its PDF and what is found wrong with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Protocol

from builder.base.errors import FitError, RenderError
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.numbers import FiguresMadeOf
from builder.render.boxes import sides_of
from builder.render.jobs import Job
from builder.render.laid_out import Side
from builder.render.pdf import PageBoxes, PdfEngine
from builder.render.printed_pages import PrintedPage, pages_of

if TYPE_CHECKING:
    from weasyprint import Document as LaidDocument

MS_A_SIGN = 0.03
"""Time goes by the length of the source, more or less."""
AGAIN = 1.2
"""So many times as long where it may be set in two ways: of such chapters a fifth are."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """What a laid-out document is found to be."""

    faults: tuple[str, ...] = ()
    """Why it must not be printed."""
    notes: tuple[str, ...] = ()
    """What its author is told, though it is good."""
    ends_thin: bool = False
    """Whether little stands on its last page, and it has others."""


class Laid:
    """A laid-out document, to be judged."""

    def __init__(self, document: LaidDocument) -> None:
        self.document = document

    @property
    def pages(self) -> int:
        """How many pages it has."""
        return len(self.document.pages)

    @cached_property
    def sides(self) -> tuple[Side, ...]:
        """Sides of cards, labels and pages of forms on it, measured."""
        return sides_of(self.document)

    @cached_property
    def printed_pages(self) -> tuple[PrintedPage, ...]:
        """Pages of running text, measured."""
        return pages_of(self.document)

    @cached_property
    def anchors(self) -> tuple[tuple[str, int], ...]:
        """Each place that can be referred to, with the number of its page from 1."""
        found: dict[str, int] = {}
        for number, page in enumerate(self.document.pages, start=1):
            for place in page.anchors:
                found.setdefault(place, number)
        return tuple(found.items())


class Rules(Protocol):
    """Rules by which a document is judged: a dataclass of plain data, since it is a part of the document's key."""

    def judge(self, laid: Laid) -> Judgement:
        """What these rules find."""


@dataclass(frozen=True, slots=True)
class NoRules:
    """For a document that runs over as many pages as it needs and is judged by nobody."""

    def judge(self, laid: Laid) -> Judgement:  # noqa: ARG002 - the form of rules
        """Nothing to find."""
        return Judgement()


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """All that decides a printed document."""

    name: str
    """How faults name it, as in ``log sheet pit (en)``."""
    html: str
    css: tuple[str, ...]
    """Style sheets, in the order they apply."""
    title: str
    """Shown by a PDF reader."""
    language: str
    second: str = ""
    """A family of type that it may use beside the usual one."""
    rules: Rules = NoRules()
    first: int = 1
    """Number of its first page."""
    settings: tuple[str, ...] = ("",)
    """Style sheets of which one is added: the first, or else a later one, tried where little would stand on the last
    page, that saves or fills that page."""
    boxes: tuple[PageBoxes, ...] = ()
    """What of each page is cut out of it; none where every page is all of what is printed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What came of a document."""

    pdf: bytes
    """Empty where there are faults."""
    faults: tuple[str, ...]
    notes: tuple[str, ...]
    pages: int
    """Number of its last page."""
    anchors: tuple[tuple[str, int], ...]
    """Each place that can be referred to, with the number of its page."""


def make(engine: PdfEngine, document: Document) -> Made:
    """Lay a document out, again where that may save or fill a thin last page, judge it, and write it if it is good.

    :raises RenderError: when the engine cannot set it faithfully.
    """
    try:
        laid, found = _judged(engine, document, document.settings[0])
        for setting in document.settings[1:] if found.ends_thin else ():
            other, of_other = _judged(engine, document, setting)
            saves = other.pages < laid.pages or (other.pages == laid.pages and not of_other.ends_thin)
            if saves and not of_other.faults:
                laid, found = other, of_other
        before = document.first - 1
        anchors, pages = (
            (tuple((place, page + before) for place, page in laid.anchors), laid.pages + before)
            if engine.lays_out
            else (engine.places_in(document.html, document.title), engine.pages_in(document.html, document.title))
        )
        pdf = (
            b""
            if found.faults
            else engine.write(laid.document, document.title, document.language, document.second, document.boxes)
        )
    except RenderError as error:
        raise RenderError(f"{document.name}: {error}") from error
    return Made(pdf=pdf, faults=found.faults, notes=found.notes, pages=pages, anchors=anchors)


def _judged(engine: PdfEngine, document: Document, setting: str) -> tuple[Laid, Judgement]:
    laid = Laid(engine.document(document.html, (*document.css, setting) if setting else document.css))
    return laid, document.rules.judge(laid) if engine.lays_out else Judgement()


def printed_parts(figures: Mapping[str, Figure]) -> Mapping[str, Figure]:
    """What is printed of figures: without what they were made from, which changes more often. Made when asked for."""
    return FiguresMadeOf(figures, _bare)


def figures_as_printed(figures: Mapping[str, Figure], keys: Iterable[str]) -> dict[str, Figure]:
    """What is printed of some figures, for a job. Unknown keys are left for the template to report."""
    return {key: _bare(figures[key]) for key in dict.fromkeys(keys) if key in figures}


def _bare(figure: Figure) -> Figure:
    """Made of some thousand figures in each build, so without ``replace``."""
    if not (figure.inputs or figure.formula or figure.source or figure.note) and figure.read:
        return figure
    return Figure(
        key=figure.key, label=figure.label, exact=figure.exact, unit=figure.unit, text=figure.text,
        rounding=figure.rounding, formula="", inputs=(), source="", relation=figure.relation, part=figure.part,
        interval=figure.interval,
    )  # fmt: skip


def document_job(document: Document) -> Job[Made]:
    """A chapter of a book, or what stands around chapters, as a job."""
    rules = type(document.rules).__module__
    again = AGAIN if document.settings[1:] else 1
    return Job(make, (document,), MS_A_SIGN * again * len(document.html), "chapters", modules=(rules,))


def refuse_faults(made: Iterable[Made]) -> None:
    """Stop when any document has faults.

    :raises FitError: with the faults of all, each once.
    """
    faults = dict.fromkeys(fault for one in made for fault in one.faults)
    if faults:
        raise FitError(faults)
