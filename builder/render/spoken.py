"""Pages in other languages than English, each with the links that lead to the same page in every other."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from markupsafe import Markup

from builder.base.digest import digest
from builder.base.record import dataclass
from builder.base.sources import sources_digest
from builder.figures.figure import Figure
from builder.pages.blocks import Notice
from builder.pages.compositions import SpokenPage
from builder.pages.handbook.page_words import words_on
from builder.pages.languages.compose import Edition
from builder.pages.languages.translated import spoken_id
from builder.pages.numbers import spelled_day, spoken_figures
from builder.program.languages import is_right_to_left
from builder.render.arabic import has_arabic
from builder.render.direction import turned_document
from builder.render.documents import printed_parts
from builder.render.html import CONTENT_POLICY, INDEX_PAGE, RESERVED, STYLESHEET, versions_of
from builder.render.jobs import Workshop
from builder.render.links import checked_path, looked_up, relative
from builder.render.markup import FigureMark, Marker, SiteFacts
from builder.render.page_cache import PageCache, Rendered
from builder.render.scripts import SEARCH
from builder.render.templates import fill
from builder.render.workers import surroundings

SCRIPTS = (SEARCH,)
"""The others add words in English: what a day is today, and how a figure was made, which is read on its own page."""


class SpokenMarker(Marker):
    """Marks what is not in the language of the page, and leads to pages in that language where there are any."""

    def __init__(
        self, page: SpokenPage, edition: Edition, figures: Mapping[str, Figure], hrefs: Mapping[str, str]
    ) -> None:
        here = checked_path(page.path, page.id)
        self._spoken = page
        self._edition = edition
        self._known = frozenset(one.id for one in edition.pages)
        self.unnamed = edition.words["table"]

        def resolve(target: str) -> str:
            return relative(here, looked_up(self._own(target), hrefs, page.id))

        super().__init__(figures, resolve, page=page.id, reserved=RESERVED)

    def _own(self, target: str) -> str:
        own = spoken_id(target, self._edition.language)
        return own if own in self._known else target

    def tongue(self, target: str) -> str:
        """English for all that is not there in the language of the page."""
        return "" if self._own(target) in self._known else "en"

    def way(self, mark: FigureMark) -> str:
        """That of its own words, whatever stands around it: in a sentence in English day and year changed places."""
        if not is_right_to_left(self._spoken.language):
            return ""
        return "rtl" if has_arabic(mark.text + mark.unit) else "ltr"

    def words(self, text: str) -> str:
        """A head or a caption, marked where it has no translation."""
        return marked(text) if text in self._spoken.english else text

    def frame(self, name: str) -> str:
        """Words around a page, under the same rule."""
        text = self._edition.words[name]
        return marked(text) if name in self._edition.unsaid else text

    def severity(self, node: Notice) -> str:
        """The word for a notice's kind in the language."""
        super().severity(node)
        return self.frame({"caution": "caution_word"}.get(node.kind, node.kind))


def marked(text: str) -> Markup:
    """Words in English on a page in another language."""
    return Markup('<span lang="en" dir="ltr">{}</span>').format(text)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """What all pages of one language share."""

    edition: Edition
    facts: SiteFacts
    unread: bool

    def document(
        self, page: SpokenPage, figures: Mapping[str, Figure], hrefs: Mapping[str, str], _: Mapping[str, Figure]
    ) -> bytes:
        marker = SpokenMarker(page, self.edition, figures, hrefs)
        turned = is_right_to_left(page.language)
        made = fill(
            "html/spoken.html",
            page=page,
            at=marker,
            facts=self.facts,
            says=self.edition.words,
            turned=turned,
            unread=self.unread,
            as_of=spelled_day(self.facts.counted, page.language),
            policy=CONTENT_POLICY,
            versions=versions_of(page.id.rpartition("@")[0], page.path, self.facts.pages_in, hrefs),
            stylesheet=relative(page.path, STYLESHEET),
            search=relative(page.path, hrefs[INDEX_PAGE]),
            scripts=tuple(relative(page.path, path) for path in SCRIPTS),
        )
        return turned_document(made, page.language).encode()


def _words(page: SpokenPage, _: Mapping[str, Figure], __: Mapping[str, str], figures: Mapping[str, Figure]) -> object:
    return words_on(page, figures)


def spoken_pages(
    editions: Sequence[Edition],
    unread: Iterable[str],
    figures: Mapping[str, Figure],
    hrefs: Mapping[str, str],
    facts: Mapping[str, Any],
    shop: Workshop,
) -> Iterator[tuple[SpokenPage, Rendered]]:
    """Every page in other languages with its document and its words.

    :param unread: languages whose texts nobody has checked as they are.
    """
    waiting = frozenset(unread)
    for edition in editions:
        frame = _Frame(edition=edition, facts=SiteFacts(**facts), unread=edition.language in waiting)
        shown = printed_parts(spoken_figures(figures, edition.language))
        told = (sorted(edition.words.items()), sorted(edition.unsaid), [page.id for page in edition.pages])
        code = [sources_digest(module) for module in (spoken_pages.__module__, words_on.__module__)]
        basis = digest(code, surroundings(), edition.language, told, dict(facts), frame.unread)
        known = (shown, hrefs, printed_parts(figures))
        cache: PageCache[SpokenPage] = PageCache(shop.store, basis, known, frame.document, _words, shop.made)
        for page in edition.pages:
            yield page, cache.rendered(page)
        cache.keep()
        shop.asked["pages"] += len(edition.pages)
