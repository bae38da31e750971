"""Everything that is rendered for a site: pages, the handbook as one PDF, cards and sheets."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from builder.base.digest import digest
from builder.base.gc_pause import gc_frozen
from builder.base.sources import sources_digest
from builder.base.store import NoStore, Store
from builder.figures.figure import Figure
from builder.pages.blocks import Card, Page, figures_in
from builder.pages.forms import LogSheet
from builder.pages.hrefs import sheet_path
from builder.pages.labels import LabelPages
from builder.program.sheet_setting import SheetSetting
from builder.render.book import book_css, book_html
from builder.render.cards import as_fitted, card_job, good_cards, refuse_twins
from builder.render.documents import MS_A_SIGN, printed, refuse_faults
from builder.render.forms import form_job
from builder.render.html import DUE_SCRIPT, HtmlRenderer, site_assets
from builder.render.imposition import SheetLayout, setting_of
from builder.render.jobs import Workshop, job, results
from builder.render.labels import label_job
from builder.render.markup import Section, SiteFacts
from builder.render.page_cache import PageCache
from builder.render.pdf import PdfEngine
from builder.render.references import settled
from builder.render.scripts import EVERYWHERE
from builder.render.sheets import by_format, sheet_job
from builder.render.workers import surroundings


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """What is printed beside the handbook, and how."""

    cards: Sequence[Card]
    log_sheets: Sequence[LogSheet] = ()
    labels: Sequence[LabelPages] = ()
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
    shop: Workshop,
    tell: Callable[[str], None],
    sheets: SheetSetting = NO_SETTING,
) -> RenderedSite:
    """Render it all.

    :raises FitError: with the faults of every card, log sheet and label that does not fit.
    :raises RenderError: when anything cannot be set faithfully.
    """
    parts = [Section(id=name, title=title, links=((index, title),)) for name, title, index in sections]
    book = Book(pages=pages, figures=figures, hrefs=hrefs, sections=parts, about=SiteFacts(**facts), paper=paper)
    papers = Papers(cards=cards, log_sheets=log_sheets, labels=labels, paper=paper, setting=setting_of(sheets))
    tell(f"laying out the handbook, {len(cards)} cards, {len(log_sheets)} log sheets and the labels")
    whole = start_book(shop, book)
    papers_made = _start_papers(shop, papers, figures)
    files = html_pages(pages, figures, hrefs, facts, sections, shop)
    prints = {page.path: _once(figures_in(page)) for page in pages}
    for path, (data, keys) in papers_made(tell).items():
        files[path], prints[path] = data, keys
    files |= site_assets()
    files["handbook.pdf"] = whole()
    prints["handbook.pdf"] = _once(figures_in(tuple(page for page in pages if page.in_pdf)))
    return RenderedSite(files=files, prints=prints)


def html_pages(
    pages: Sequence[Page],
    figures: Mapping[str, Figure],
    hrefs: Mapping[str, str],
    facts: Mapping[str, Any],
    sections: Sequence[tuple[str, str, str]],
    shop: Workshop | None = None,
) -> dict[str, bytes]:
    """Site path -> bytes of the document of each page; those that nothing changed on are taken from what is kept."""
    parts = [Section(id=name, title=title, links=((index, title),)) for name, title, index in sections]
    scripts = (*EVERYWHERE, DUE_SCRIPT)
    renderer = HtmlRenderer(figures, hrefs, parts, SiteFacts(**facts), scripts=scripts)
    basis = digest(sources_digest(HtmlRenderer.__module__), surroundings(), parts, dict(facts), scripts)
    store: Store = shop.store if shop else NoStore()
    shown = printed(figures, figures)
    cache = PageCache(store, basis, shown, hrefs, lambda *asked: renderer.render_with(*asked).encode())
    with gc_frozen():
        made = {page.path: cache.rendered(page) for page in pages}
    if shop:
        shop.asked["pages"] += len(pages)
        shop.made["pages"] += cache.made
    return made


# ---- on paper ---------------------------------------------------------------------

Printed = dict[str, tuple[bytes, tuple[str, ...]]]
"""Path -> bytes, and keys of the figures printed."""


def _start_papers(
    shop: Workshop, papers: Papers, figures: Mapping[str, Figure]
) -> Callable[[Callable[[str], None]], Printed]:
    """Begin with everything but the handbook; what is handed back waits for it, and says what authors are told."""
    refuse_twins(papers.cards)
    cards = shop.start([card_job(card, figures) for card in papers.cards])  # sheets wait for them
    forms = [form_job(sheet, figures) for sheet in papers.log_sheets]
    others = shop.start([*forms, *(label_job(pages, figures) for pages in papers.labels)])

    def finish(tell: Callable[[str], None]) -> Printed:
        good = good_cards(results(cards))
        for note in (note for card in good for note in card.notes):
            tell(f"note: {note}")
        groups = by_format(as_fitted(papers.cards, good))
        jobs = [sheet_job(group, figures, papers.paper, papers.setting) for group in groups.values()]
        made = results([*shop.start(jobs), *others])
        refuse_faults(made)
        found: Printed = {card.path: (card.pdf, card.figures) for card in good}
        paths = [(sheet_path(name, papers.paper), _once(figures_in(group))) for name, group in groups.items()]
        paths += [(sheet.path, sheet.figures) for sheet in papers.log_sheets]
        paths += [(pages.path, pages.figures) for pages in papers.labels]
        return found | {path: (one.pdf, keys) for (path, keys), one in zip(paths, made, strict=True)}

    return finish


def start_book(shop: Workshop, book: Book) -> Callable[[], bytes]:
    """Begin with the handbook as one PDF; what is handed back waits for it.

    :raises RenderError: when the engine cannot set it faithfully.
    """
    html = book_html(book.pages, book.figures, book.hrefs, book.sections, book.about)
    about = book.about
    work = job("handbook", 3 * MS_A_SIGN * len(html), _print, html, book_css(book.paper), about.title, about.language)
    (coming,) = shop.start([work])
    return lambda: results([coming])[0]


def print_book(book: Book) -> bytes:
    """The handbook as one PDF.

    :raises RenderError: when the engine cannot set it faithfully.
    """
    with Workshop() as shop:
        return start_book(shop, book)()


def _print(engine: PdfEngine, html: str, css: str, title: str, language: str) -> bytes:
    return engine.write(settled(engine, html, [css]), title, language)


def _once(keys: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(keys))
