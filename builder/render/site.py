"""Everything that is rendered for a site: pages, the handbook as one PDF, cards and sheets."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import Any

from builder.base.errors import HandbookError, RenderError
from builder.base.gc_pause import gc_frozen, gc_paused
from builder.figures.figure import Figure
from builder.pages.blocks import Card, Page, figures_in
from builder.pages.forms import LogSheet
from builder.pages.labels import LabelPages
from builder.program.sheet_setting import SheetSetting
from builder.render.book import book_css, book_html
from builder.render.cards import RenderedCard, as_fitted, render_cards
from builder.render.forms import render_forms
from builder.render.html import DUE_SCRIPT, HtmlRenderer, site_assets
from builder.render.imposition import SheetLayout, setting_of
from builder.render.labels import render_labels
from builder.render.markup import Section, SiteFacts
from builder.render.pdf import PdfEngine, preload
from builder.render.references import settled
from builder.render.scripts import EVERYWHERE
from builder.render.sheets import render_sheets


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedSite:
    """Files of the site, and which figures each of them prints."""

    files: Mapping[str, bytes]
    """Path -> bytes."""
    prints: Mapping[str, tuple[str, ...]]
    """Path -> keys of figures, in reading order, each once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """What the printed handbook is made of."""

    pages: Sequence[Page]
    figures: Mapping[str, Figure]
    hrefs: Mapping[str, str]
    sections: Sequence[Section]
    about: SiteFacts
    paper: str


@dataclass(frozen=True, slots=True)
class _Sheets:
    """What sheets of cards are printed on, and how."""

    paper: str
    setting: SheetLayout


NO_SETTING = SheetSetting()


def render_site(
    *,
    pages: Sequence[Page],
    cards: Sequence[Card],
    log_sheets: Sequence[LogSheet] = (),
    labels: Sequence[LabelPages] = (),
    figures: Mapping[str, Figure],
    hrefs: Mapping[str, str],
    facts: Mapping[str, Any],
    sections: Sequence[tuple[str, str, str]],
    paper: str,
    jobs: int,
    tell: Callable[[str], None],
    sheets: SheetSetting = NO_SETTING,
) -> RenderedSite:
    """Render it all.

    :raises FitError: with the faults of every card, log sheet and label that does not fit.
    :raises RenderError: when anything cannot be set faithfully.
    """
    about = SiteFacts(**facts)
    parts = [Section(id=name, title=title, links=((index, title),)) for name, title, index in sections]
    book = Book(pages=pages, figures=figures, hrefs=hrefs, sections=parts, about=about, paper=paper)
    files: dict[str, bytes] = {}
    prints: dict[str, tuple[str, ...]] = {}
    with _beside(print_book, book, jobs) as printed:
        tell(f"laying out {len(cards)} cards")
        for note in _cards(cards, figures, _Sheets(paper, setting_of(sheets)), max(1, jobs - 1), files, prints):
            tell(f"note: {note}")
        tell(f"laying out {len(log_sheets)} log sheets and the labels")
        _papers(log_sheets, labels, figures, max(1, jobs - 1), files, prints)
        tell(f"writing {len(pages)} pages")
        files.update(html_pages(pages, figures, hrefs, facts, sections))
        prints.update({page.path: _once(figures_in(page)) for page in pages})
        files.update(site_assets())
        tell("printing the handbook")
        files["handbook.pdf"] = printed()
    prints["handbook.pdf"] = _once(figures_in(tuple(page for page in pages if page.in_pdf)))
    return RenderedSite(files=files, prints=prints)


def html_pages(
    pages: Sequence[Page],
    figures: Mapping[str, Figure],
    hrefs: Mapping[str, str],
    facts: Mapping[str, Any],
    sections: Sequence[tuple[str, str, str]],
) -> dict[str, bytes]:
    """Site path -> bytes of the document of each page."""
    parts = [Section(id=name, title=title, links=((index, title),)) for name, title, index in sections]
    renderer = HtmlRenderer(figures, hrefs, parts, SiteFacts(**facts), scripts=(*EVERYWHERE, DUE_SCRIPT))
    with gc_frozen():
        return {page.path: renderer.render(page).encode() for page in pages}


@contextmanager
def _beside(work: Callable[[Book], bytes], book: Book, jobs: int) -> Iterator[Callable[[], bytes]]:
    """Do ``work`` in a process of its own while the caller goes on; with one job, when its result is asked for."""
    if jobs == 1:
        yield lambda: work(book)
        return
    preload()
    context = get_context("fork")
    receiver, sender = context.Pipe(duplex=False)
    child = context.Process(target=_tell, args=(sender, work, book))
    child.start()
    sender.close()
    try:
        yield lambda: _told(receiver)
    finally:
        child.terminate()
        child.join()
        receiver.close()


def _tell(sender: Connection, work: Callable[[Book], bytes], book: Book) -> None:
    """In the other process: send the bytes, or the error that the caller is to raise."""
    try:
        sender.send(work(book))
    except HandbookError as error:
        sender.send(error)


def _told(receiver: Connection) -> bytes:
    try:
        answer = receiver.recv()
    except EOFError:
        raise RenderError("the process that prints the handbook ended without a word") from None
    if isinstance(answer, HandbookError):
        raise answer
    return bytes(answer)


def _cards(
    cards: Sequence[Card],
    figures: Mapping[str, Figure],
    sheets: _Sheets,
    jobs: int,
    files: dict[str, bytes],
    prints: dict[str, tuple[str, ...]],
) -> list[str]:
    """Add cards and sheets; what their authors are to be told."""
    rendered: list[RenderedCard] = render_cards(cards, figures, jobs)
    for card in rendered:
        files[card.path] = card.pdf
        prints[card.path] = card.figures
    for sheet in render_sheets(as_fitted(cards, rendered), figures, sheets.paper, jobs, sheets.setting):
        path = f"cards/sheets/{sheet.format.lower()}-on-{sheet.paper.lower()}.pdf"
        files[path] = sheet.pdf
        prints[path] = _once(figures_in(tuple(card for card in cards if card.format == sheet.format)))
    return [note for card in rendered for note in card.notes]


def _papers(
    log_sheets: Sequence[LogSheet],
    labels: Sequence[LabelPages],
    figures: Mapping[str, Figure],
    jobs: int,
    files: dict[str, bytes],
    prints: dict[str, tuple[str, ...]],
) -> None:
    files.update({form.path: form.pdf for form in render_forms(log_sheets, figures, jobs)})
    files.update({made.path: made.pdf for made in render_labels(labels, figures)})
    prints.update({sheet.path: sheet.figures for sheet in log_sheets})
    prints.update({pages.path: pages.figures for pages in labels})


def print_book(book: Book) -> bytes:
    """The handbook as one PDF.

    :raises RenderError: when the engine cannot set it faithfully.
    """
    with gc_paused(), PdfEngine() as engine:  # laid-out pages are many and stay until the end
        html = book_html(book.pages, book.figures, book.hrefs, book.sections, book.about)
        document = settled(engine, html, [book_css(book.paper)])
        return engine.write(document, book.about.title, book.about.language)


def _once(keys: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(keys))
