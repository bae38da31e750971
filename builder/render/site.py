"""Everything that is rendered for a site: pages, the handbook as one PDF, cards and sheets."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import Any

from builder.base.errors import HandbookError, RenderError
from builder.figures.figure import Figure
from builder.pages.blocks import Card, Page, figures_in
from builder.render.book import book_css, book_html
from builder.render.cards import RenderedCard, render_cards
from builder.render.html import HtmlRenderer, site_assets
from builder.render.markup import Section, SiteFacts
from builder.render.pdf import PdfEngine, preload
from builder.render.sheets import render_sheets


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedSite:
    """Files of the site, and which figures each of them prints."""

    files: Mapping[str, bytes]
    """Path -> bytes."""
    prints: Mapping[str, tuple[str, ...]]
    """Path -> keys of figures, in reading order, each once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Book:
    """What the printed handbook is made of."""

    pages: Sequence[Page]
    figures: Mapping[str, Figure]
    hrefs: Mapping[str, str]
    sections: Sequence[Section]
    about: SiteFacts
    paper: str


def render_site(
    *,
    pages: Sequence[Page],
    cards: Sequence[Card],
    figures: Mapping[str, Figure],
    hrefs: Mapping[str, str],
    facts: Mapping[str, Any],
    sections: Sequence[tuple[str, str, str]],
    paper: str,
    jobs: int,
    tell: Callable[[str], None],
) -> RenderedSite:
    """Render it all.

    :raises FitError: with the faults of every card that does not fit.
    :raises RenderError: when anything cannot be set faithfully.
    """
    about = SiteFacts(**facts)
    parts = [Section(id=name, title=title, links=((index, title),)) for name, title, index in sections]
    book = _Book(pages=pages, figures=figures, hrefs=hrefs, sections=parts, about=about, paper=paper)
    files: dict[str, bytes] = {}
    prints: dict[str, tuple[str, ...]] = {}
    with _beside(print_book, book, jobs) as printed:
        tell(f"laying out {len(cards)} cards")
        _cards(cards, figures, paper, max(1, jobs - 1), files, prints)
        tell(f"writing {len(pages)} pages")
        renderer = HtmlRenderer(figures, hrefs, parts, about)
        for page in pages:
            files[page.path] = renderer.render(page).encode()
            prints[page.path] = _once(figures_in(page))
        files.update(site_assets())
        tell("printing the handbook")
        files["handbook.pdf"] = printed()
    prints["handbook.pdf"] = _once(figures_in(tuple(page for page in pages if page.in_pdf)))
    return RenderedSite(files=files, prints=prints)


@contextmanager
def _beside(work: Callable[[_Book], bytes], book: _Book, jobs: int) -> Iterator[Callable[[], bytes]]:
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


def _tell(sender: Connection, work: Callable[[_Book], bytes], book: _Book) -> None:
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
    paper: str,
    jobs: int,
    files: dict[str, bytes],
    prints: dict[str, tuple[str, ...]],
) -> None:
    rendered: list[RenderedCard] = render_cards(cards, figures, jobs)
    for card in rendered:
        files[f"cards/{card.id}.pdf"] = card.pdf
        prints[f"cards/{card.id}.pdf"] = card.figures
    for sheet in render_sheets(cards, figures, paper, jobs):
        path = f"cards/sheets/{sheet.format.lower()}-on-{sheet.paper.lower()}.pdf"
        files[path] = sheet.pdf
        prints[path] = _once(figures_in(tuple(card for card in cards if card.format == sheet.format)))


def print_book(book: _Book) -> bytes:
    """The handbook as one PDF.

    :raises RenderError: when the engine cannot set it faithfully.
    """
    gc.disable()  # laid-out pages are many and stay until the end: looking for garbage among them costs a fifth
    try:
        with PdfEngine() as engine:
            html = book_html(book.pages, book.figures, book.hrefs, book.sections, book.about)
            document = engine.document(html, [book_css(book.paper)])
            return engine.write(document, book.about.title, book.about.language)
    finally:
        gc.enable()


def _once(keys: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(keys))
