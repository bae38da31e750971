"""The stages up to plain data, in order: load, check, compute, judge, compose. ``building`` makes files of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from builder.base.errors import ContentError
from builder.base.finding import Finding, Severity
from builder.base.gc_pause import gc_paused
from builder.base.record import dataclass
from builder.base.telling import Tell, silent
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.figures.of_content import computed_of
from builder.findings.order import find, in_order
from builder.history.archive import Past
from builder.pages.blocks import FILE
from builder.pages.books.book import Book
from builder.pages.books.compose import compose_books
from builder.pages.books.selection import FORMS, surely_sound
from builder.pages.compositions import Card, Page, figures_in
from builder.pages.facts import facts_of, told_of
from builder.pages.handbook.compose import compose_pages
from builder.pages.handbook.figure_pages import figure_pages
from builder.pages.handbook.handbook_context import names_of
from builder.pages.handbook.reader_data import ReaderData, reader_data
from builder.pages.handbook.revision_pages import closing_pages
from builder.pages.handbook.sections import SECTIONS
from builder.pages.handbook.small_sites import joined_pages
from builder.pages.hrefs import hrefs
from builder.pages.languages.compose import Edition, compose_editions, paper_edition, spoken_hrefs
from builder.pages.languages.findings import page_findings
from builder.pages.languages.po import Texts
from builder.pages.outputs import Outputs, Papers, compose_outputs, compose_papers
from builder.pages.prose import ProseContext, prose_blocks, unresolved_keys
from builder.pages.texts import CarriedTexts, texts_of
from builder.pages.translation_findings import checked_languages, reworded_findings, translation_findings
from builder.program.languages import ENGLISH
from builder.program.program import Program
from builder.render.coverage import unprintable
from builder.render.jobs import Workshop
from builder.render.label_room import fitted_labels

if TYPE_CHECKING:
    from builder.render.proof import Proof

CARD = "card:"
"""Begins a reference to a card, which is a document and no page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Content that is good, its figures, its papers, and what they prove wrong."""

    computed: Computed
    prose: ProseContext
    """What prose is resolved against."""
    papers: Papers
    """Composed as a draft, or as released where it was judged for that."""
    findings: tuple[Finding, ...]
    editions: tuple[Edition, ...] = ()
    """Pages in other languages; of languages that have translations but no pages too, which are not published."""

    @property
    def published(self) -> tuple[Edition, ...]:
        """Those of the languages that the site has pages in."""
        wanted = {given.value for given in self.program.site.pages_in}
        return tuple(edition for edition in self.editions if edition.language in wanted)

    @property
    def program(self) -> Program:
        """The content."""
        return self.computed.program

    @property
    def ledger(self) -> Ledger:
        """Its figures."""
        return self.computed.ledger

    @property
    def number(self) -> int:
        """Number of the latest revision that the content tells of, 0 before the first."""
        return self.program.revision.number.value if self.program.revision else 0

    def stops(self) -> tuple[Finding, ...]:
        """Findings that refuse a release."""
        return tuple(finding for finding in self.findings if finding.severity is Severity.STOP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Composed:
    """Pages and cards as plain data."""

    judged: Judged
    pages: tuple[Page, ...]
    """As the site has them."""
    single: tuple[Page, ...]
    """Each by itself, as books and packs take them."""
    cards: tuple[Card, ...]
    outputs: Outputs
    texts: CarriedTexts
    """The words of what people carry or act by."""
    books: tuple[Book, ...]
    hrefs: Mapping[str, str]
    book_hrefs: Mapping[str, str]
    """The same for pages that stand by themselves."""
    reader: ReaderData
    past: Past
    """What was released before."""


@gc_paused()
def judge(content: Path, as_of: date, tell: Tell = silent, *, release: bool = False) -> Judged:
    """Load, check and compute a content folder.

    :param release: whether it is to be released, which takes every translation.

    :raises ContentError: with every fault found.
    """
    computed = computed_of(content, as_of, tell, unprintable)
    program = computed.program
    unresolved = unresolved_keys(program, computed.ledger)
    if unresolved:
        raise ContentError(unresolved)
    prose = ProseContext(ledger=computed.ledger, titles=_titles(program))
    papers = compose_papers(computed, prose, draft=not release)
    untranslated = translation_findings(program, computed.ledger, papers.texts, release=release)
    found = find(computed)
    others = (tag for tag in program.translations if tag != ENGLISH)
    languages = dict.fromkeys((*(given.value for given in program.site.pages_in), *others))
    editions = compose_editions(computed, found, lambda nodes: prose_blocks(nodes, prose, steps=True), languages)
    of_pages = page_findings(program, editions, checked_languages(program, computed.ledger))
    findings = in_order((*found, *untranslated, *of_pages, *reworded_findings(program)))
    return Judged(computed=computed, prose=prose, papers=papers, findings=findings, editions=editions)


def fitted(judged: Judged) -> Judged:
    """The same, each label knowing what it has no room for, so that nothing of that is told as printed."""
    papers, figures = judged.papers, judged.ledger.figures
    labels = tuple(fitted_labels(pages, figures) for pages in papers.labels.papers)
    return replace(judged, papers=replace(papers, labels=replace(papers.labels, papers=labels)))


def translator_texts(judged: Judged, language: str) -> Texts:
    """Every text of a site in a language, for who translates it."""
    prose = judged.prose
    edition = next((one for one in judged.editions if one.language == language), None)
    if language == ENGLISH:  # the builder's words on papers, to be worded otherwise
        edition = paper_edition(judged.program)
    if edition is None:
        [edition] = compose_editions(
            judged.computed, judged.findings, lambda nodes: prose_blocks(nodes, prose, steps=True), (language,)
        )
    pages = any(edition is one for one in judged.published)
    return Texts(program=judged.program, ledger=judged.ledger, edition=edition, papers=judged.papers.texts, pages=pages)


def check_books(judged: Judged, tell: Tell = silent) -> None:
    """Refuse books that ask for pages which do not exist; pages are composed for it only where there is a doubt.

    :raises ContentError: with every such reference.
    """
    paged = {name: title for name, title in _titled(judged.program).items() if not name.startswith(CARD)}
    if judged.papers.log_sheets.papers or judged.papers.labels.papers:
        paged[FORMS] = "forms to print"
    if not surely_sound(judged.program, paged):
        compose(judged, tell=tell)


def _titles(program: Program) -> Callable[[str], str]:
    """Gives the title of whatever can be referred to."""
    titles = _titled(program)
    return lambda reference: titles.get(reference, reference)


def _titled(program: Program) -> dict[str, str]:
    """Reference -> title; each but those of cards has a page of its own."""
    return {
        **names_of(program),
        **{reference: title for _, title, reference in SECTIONS},
        **{f"page:{page.id}": page.title for page in program.pages.values()},
    }


@gc_paused()
def compose(judged: Judged, *, tell: Tell = silent, past: Past | None = None) -> Composed:
    """Pages and cards of a judged program: a draft, or as released where it was judged for that.

    :param past: what was released before.
    """
    tell("composing pages and cards")
    judged, past = fitted(judged), past or Past()
    program, ledger = judged.program, judged.ledger
    names = names_of(program)
    cards = judged.papers.cards.papers
    codes = {card.name: card.code for card in cards}
    outputs = compose_outputs(judged.computed, judged.papers)
    elsewhere: dict[str, tuple[str, ...]] = {}
    for card in cards:
        for key in dict.fromkeys(figures_in(card)):
            elsewhere[key] = tuple(dict.fromkeys((*elsewhere.get(key, ()), f"card:{card.id}")))
    for path, keys in outputs.prints().items():
        for key in keys:
            elsewhere[key] = (*elsewhere.get(key, ()), f"{FILE}{path}")
    told_on = figure_pages(ledger.figures)
    pages = compose_pages(
        judged.computed,
        judged.findings,
        lambda nodes: prose_blocks(nodes, judged.prose, steps=True),
        codes,
        told_on,
        printed_elsewhere=elsewhere,
        outputs=outputs,
        past=past,
    )
    joined = joined_pages(pages, program, spoken=bool(judged.published))
    facts = told(judged, draft=judged.papers.draft)
    texts = texts_of(program, ledger, pages, cards, outputs)
    closing = closing_pages(program, ledger, joined, cards, outputs, texts, facts, past)
    single = (*pages, *closing)
    pages = (*joined, *closing)
    ways = hrefs(pages, ledger, told_on, cards)
    return Composed(
        judged=judged,
        pages=pages,
        single=single,
        cards=cards,
        outputs=outputs,
        texts=texts,
        books=compose_books(judged.computed, judged.findings, single, outputs),
        hrefs=ways | spoken_hrefs(judged.published),
        book_hrefs=ways if single == pages else hrefs(single, ledger, told_on, cards),
        reader=reader_data(program, ledger, told_on, single, {**names, **outputs.titles()}, codes, elsewhere),
        past=past,
    )


def card_proofs(judged: Judged, shop: Workshop, only: str = "") -> list[Proof]:
    """Cards laid out as a build would, also those that it would refuse.

    :param only: the id of the one that is wanted, in all its languages; all cards without it.
    """
    from builder.render.proof import proof_job  # noqa: PLC0415 - as below

    cards = [card for card in judged.papers.cards.papers if only in ("", card.id)]
    return shop.run([proof_job(card, judged.ledger.figures) for card in cards])


def site_facts(judged: Judged, *, draft: bool) -> dict[str, Any]:
    """What every page says about the handbook it belongs to."""
    return facts_of(judged.program, judged.ledger, draft=draft)


def told(judged: Judged, *, draft: bool) -> dict[str, Any]:
    """What each file of data holds for."""
    return told_of(judged.program, judged.ledger, draft=draft)
