"""Everything that is rendered for a site: pages, books, cards and sheets."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Future
from typing import Any, TypeAlias

from builder.base.digest import digest
from builder.base.gc_pause import gc_frozen
from builder.base.record import dataclass
from builder.base.sources import sources_digest
from builder.base.spool import Spool
from builder.base.telling import Tell
from builder.figures.figure import Figure
from builder.history.archive import Past
from builder.history.chapters import ChaptersTold
from builder.pages.books.book import Book
from builder.pages.compositions import Card, Page, figures_in
from builder.pages.forms import LogSheet
from builder.pages.handbook.page_words import words_on
from builder.pages.handbook.sections import SECTIONS
from builder.pages.hrefs import sheet_path
from builder.pages.labels import LabelPages
from builder.render.book import Bindery, Bound, Printing, printed_figures
from builder.render.cards import CardOrFaults, RenderedCard, card_job, good_cards, refuse_twins
from builder.render.documents import Made, printed_parts, refuse_faults
from builder.render.forms import form_job
from builder.render.html import DUE_SCRIPT, HtmlRenderer, site_assets
from builder.render.imposition import SheetLayout
from builder.render.jobs import Workshop, results
from builder.render.labels import label_job
from builder.render.markup import SiteFacts
from builder.render.page_cache import PageCache, Rendered
from builder.render.scripts import EVERYWHERE
from builder.render.sheets import by_format, sheet_job
from builder.render.workers import surroundings


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedSite:
    """Files of the site."""

    files: Spool
    """Path -> bytes."""
    chapters: ChaptersTold
    """What the chapters of the books print."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """What is printed beside the books, and how."""

    cards: Sequence[Card]
    log_sheets: Sequence[LogSheet] = ()
    labels: Sequence[LabelPages] = ()
    paper: str
    setting: SheetLayout


CHAPTERS_AFTER_CARDS = 3.0
"""What cards print stands in chapters and log sheets as well, which take about so many times as long with them."""
Prints: TypeAlias = Mapping[str, tuple[str, ...]]
"""Path in the site -> keys of the figures printed there, in reading order, each once."""
Words: TypeAlias = Mapping[str, Any]
"""Reference of a page -> its headings and words, as ``words_on`` tells them."""
Beside: TypeAlias = Callable[[Spool, Prints, Words], None]
"""Adds files to those of a site, knowing what all its pages and papers print."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """Papers that other processes are at while pages are composed."""

    figures: Mapping[str, Figure]
    """Every figure of the site as printed."""
    cards: Sequence[Future[CardOrFaults]]
    labels: Sequence[Future[Made]]


def begin_papers(
    cards: Sequence[Card], labels: Sequence[LabelPages], figures: Mapping[str, Figure], shop: Workshop, tell: Tell
) -> Begun:
    """Begin with cards, since their sheets wait for them, and with labels."""
    tell(f"working on {len(cards)} cards and the labels")
    refuse_twins(cards)
    shown = printed_parts(figures)
    coming = shop.start([card_job(card, shown) for card in cards], followed=CHAPTERS_AFTER_CARDS)
    return Begun(figures=shown, cards=coming, labels=shop.start([label_job(pages, shown) for pages in labels]))


def render_site(
    *,
    begun: Begun,
    papers: Papers,
    pages: Sequence[Page],
    books: Sequence[Book] = (),
    figures: Mapping[str, Figure],
    told: Mapping[str, str] | None = None,
    hrefs: Mapping[str, str],
    book_hrefs: Mapping[str, str],
    facts: Mapping[str, Any],
    shop: Workshop,
    tell: Tell,
    beside: Beside,
    past: Past | None = None,
) -> RenderedSite:
    """Render it all.

    :param told: a hash of all that each figure is.
    :param begun: what was begun of the cards and labels of ``papers``, in their order.
    :param beside: makes what else the site has; called while other processes lay out.
    :param past: what was released before, and which revision is being released.
    :raises FitError: with the faults of every card, log sheet, label and page of a book that does not fit.
    :raises RenderError: when anything cannot be set faithfully.
    """
    past = past or Past()
    last = past.archive.last
    printing = Printing(
        figures=begun.figures, hrefs=book_hrefs, about=SiteFacts(**facts), paper=papers.paper,
        releasing=past.releasing, before=last.chapters if last else {},
    )  # fmt: skip
    tell(f"working on {len(books)} books and {len(papers.log_sheets)} log sheets")
    bound = start_books(shop, books, printing)
    on_paper = _OnPaper(shop, papers, begun)
    files = Spool()
    words: dict[str, Any] = {}
    for page, made in rendered_pages(pages, figures, hrefs, facts, shop, told):
        made.put(files, page.path)
        words[page.id] = made.beside
    files.update(site_assets(facts["look"]))
    on_paper.begin_sheets(waiting=False)
    prints = {page.path: page.figures for page in pages} | _printed(papers)
    beside(files, prints | {book.path: printed_figures(book) for book in books}, words)
    on_paper.begin_sheets(waiting=True)
    books_made = bound(tell)
    files.update(on_paper.made(tell))
    files.update(books_made.files)
    return RenderedSite(files=files, chapters=books_made.chapters)


def rendered_pages(
    pages: Sequence[Page],
    figures: Mapping[str, Figure],
    hrefs: Mapping[str, str],
    facts: Mapping[str, Any],
    shop: Workshop,
    told: Mapping[str, str] | None = None,
) -> Iterator[tuple[Page, Rendered]]:
    """Each page with its document and its words; those that nothing changed on are taken from what is kept.

    :param told: a hash of all that each figure is, where it was made already.
    """
    scripts = (*EVERYWHERE, DUE_SCRIPT)
    shown = printed_parts(figures)
    renderer = HtmlRenderer(shown, hrefs, SECTIONS, SiteFacts(**facts), scripts=scripts)
    code = [sources_digest(module) for module in (HtmlRenderer.__module__, words_on.__module__)]
    basis = digest(code, surroundings(), SECTIONS, dict(facts), scripts)
    cache: PageCache[Page] = PageCache(
        shop.store,
        basis,
        (figures, shown, hrefs),
        lambda *asked: renderer.render_with(*asked).encode(),
        lambda page, _, printed, __: words_on(page, printed),
        shop.made,
        told=told,
    )
    with gc_frozen(searching=True):
        for page in pages:
            yield page, cache.rendered(page)
        cache.keep()
    shop.asked["pages"] += len(pages)


# ---- on paper ---------------------------------------------------------------------


class _OnPaper:
    """All papers but books on their way: their log sheets begin with it."""

    def __init__(self, shop: Workshop, papers: Papers, begun: Begun) -> None:
        self._shop, self._papers, self._cards = shop, papers, begun.cards
        self._good: list[RenderedCard] = []
        self._coming = [*shop.start([form_job(sheet, begun.figures) for sheet in papers.log_sheets]), *begun.labels]
        self._sheets: list[Future[Made]] | None = None

    def begin_sheets(self, *, waiting: bool) -> None:
        """Begin the sheets of cards, once: when the cards are there, or else where they are waited for.

        :raises FitError: with the faults of all cards.
        """
        if self._sheets is not None or not (waiting or all(card.done() for card in self._cards)):
            return
        self._good = good_cards(results(self._cards))
        printed = {card.path: card for card in self._good}
        groups = by_format(self._papers.cards).values()
        asked = (self._papers.paper, self._papers.setting)
        self._sheets = self._shop.start(
            [sheet_job(group, [printed[card.path] for card in group], *asked) for group in groups]
        )

    def made(self, tell: Tell) -> dict[str, bytes]:
        """Path -> PDF of each, when all are there and their authors were told.

        :raises FitError: with the faults of all but cards.
        """
        made = results([*(self._sheets or ()), *self._coming])
        refuse_faults(made)
        for note in (note for one in (*self._good, *made) for note in one.notes):
            tell(f"note: {note}")
        return dict(zip(_printed(self._papers), (one.pdf for one in (*self._good, *made)), strict=True))


def _printed(papers: Papers) -> dict[str, tuple[str, ...]]:
    """Every paper beside the books: cards, their sheets, log sheets, labels."""
    found = {card.path: _once(figures_in(card)) for card in papers.cards}
    groups = by_format(papers.cards).items()
    found |= {sheet_path(name, papers.paper): _once(figures_in(group)) for name, group in groups}
    found |= {sheet.path: sheet.figures for sheet in papers.log_sheets}
    return found | {pages.path: pages.figures for pages in papers.labels}


def start_books(shop: Workshop, books: Sequence[Book], printing: Printing) -> Callable[[Tell], Bound]:
    """Begin with every chapter; what is handed back waits for the books, and says what authors are told.

    :raises RenderError: when a page cannot be set faithfully.
    """
    bindery = Bindery(books, printing)
    bindery.start(shop)

    def finish(tell: Tell) -> Bound:
        made = bindery.bound(shop)
        for note in made.notes:
            tell(f"note: {note}")
        return made

    return finish


def _once(keys: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(keys))
