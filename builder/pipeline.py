"""The stages in order: load, check, compute, compose, render, publish."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from builder.base.errors import ContentError, PublishError, refusal
from builder.base.fault_kinds import Kind
from builder.base.finding import Finding, Severity
from builder.base.gc_pause import gc_paused
from builder.base.spool import Spool
from builder.base.store import Store
from builder.base.telling import Tell, silent
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.figures.of_content import computed_of
from builder.findings.order import find, in_order
from builder.history.archive import Archive, Past, read_archive
from builder.history.chapters import CHAPTERS
from builder.history.edition import ABOUT
from builder.pages.blocks import FILE, Card, Page, figures_in
from builder.pages.books.book import Book
from builder.pages.books.compose import compose_books
from builder.pages.books.selection import FORMS, surely_sound
from builder.pages.facts import facts_of, told_of
from builder.pages.handbook.compose import compose_pages
from builder.pages.handbook.handbook_context import names_of
from builder.pages.handbook.page_words import worded_pages
from builder.pages.handbook.reader_data import ReaderData, reader_data
from builder.pages.handbook.revision_pages import closing_pages
from builder.pages.handbook.sections import SECTIONS
from builder.pages.handbook.small_sites import joined_pages
from builder.pages.hrefs import hrefs
from builder.pages.languages.compose import Edition, compose_editions, paper_edition, spoken_hrefs
from builder.pages.languages.findings import page_findings, unread_editions
from builder.pages.languages.po import Texts
from builder.pages.numbers import texts_on
from builder.pages.outputs import Outputs, compose_outputs
from builder.pages.papers import Papers, compose_papers
from builder.pages.prose import ProseContext, prose_blocks, unresolved_keys
from builder.pages.rewording import reworded_findings
from builder.pages.translation_findings import checked_languages, translation_findings
from builder.program.keys.families import AS_OF
from builder.program.languages import ENGLISH
from builder.program.program import Program
from builder.publish.calendar import kept_calendar
from builder.publish.csv_text import csv_bytes
from builder.publish.freeze import frozen_copy, refuse_other_bytes, refuse_unknown, signers, snapshot
from builder.publish.history_json import about_json, chapters_json, draft_json, history_files
from builder.publish.ledger_json import findings_json, ledger_files
from builder.publish.staging import PublishReport, publish, reserved
from builder.render.coverage import unprintable
from builder.render.jobs import Workshop

if TYPE_CHECKING:
    from builder.render.proof import Proof

USUAL_JOBS = 2
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
    books: tuple[Book, ...]
    hrefs: Mapping[str, str]
    book_hrefs: Mapping[str, str]
    """The same for pages that stand by themselves."""
    reader: ReaderData
    past: Past
    """What was released before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """What a build made."""

    composed: Composed
    report: PublishReport
    made: Mapping[str, tuple[int, int]]
    """Kind of thing -> how many of them were made anew, and how many there are."""


@gc_paused()
def judge(content: Path, as_of: date, tell: Tell = silent, *, release: bool = False) -> Judged:
    """Load, check and compute a content folder.

    :param release: whether it is to be released, which takes every translation.

    :raises ContentError: with every fault found.
    """
    computed = computed_of(content, as_of, tell, unprintable)
    program = computed.program
    unresolved = unresolved_keys(program.quoted, computed.ledger)
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
    past = past or Past()
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
    pages = compose_pages(
        judged.computed,
        judged.findings,
        lambda nodes: prose_blocks(nodes, judged.prose, steps=True),
        codes,
        printed_elsewhere=elsewhere,
        outputs=outputs,
        past=past,
    )
    joined = joined_pages(pages, program, spoken=bool(judged.published))
    facts = told(judged, draft=judged.papers.draft)
    closing = closing_pages(program, ledger, joined, cards, outputs, facts, past, pages)
    single = (*pages, *closing)
    pages = (*joined, *closing)
    ways = hrefs(pages, ledger, cards)
    return Composed(
        judged=judged,
        pages=pages,
        single=single,
        cards=cards,
        outputs=outputs,
        books=compose_books(judged.computed, judged.findings, single, outputs),
        hrefs=ways | spoken_hrefs(judged.published),
        book_hrefs=ways if single == pages else hrefs(single, ledger, cards),
        reader=reader_data(program, ledger, single, {**names, **outputs.titles()}, codes, elsewhere),
        past=past,
    )


def card_proofs(judged: Judged, shop: Workshop, only: str = "") -> list[Proof]:
    """Cards laid out as a build would, also those that it would refuse.

    :param only: the id of the one that is wanted, in all its languages; all cards without it.
    """
    from builder.render.proof import proof_job  # noqa: PLC0415 - as below

    cards = [card for card in judged.papers.cards.papers if only in ("", card.id)]
    return shop.run([proof_job(card, judged.ledger.figures) for card in cards])


def check_release(judged: Judged, as_of: date) -> None:
    """Refuse what may not be released.

    :raises PublishError: for a stop finding, or when no revision is in force on that day.
    """
    stops = judged.stops()
    if stops:
        listed = "\n".join(f"  {finding.where}: {finding.message}" for finding in stops)
        raise PublishError(f"{len(stops)} stop finding(s), so nothing is released:\n{listed}")
    revision = judged.program.revision
    if revision is None:
        allowed = "revisions/N.yaml with number, date and names"
        raise refusal(Kind.FILE_MISSING, Where("revisions", 1), "no revision to release", allowed)
    if revision.effective.value > as_of:
        found = f"revision {revision.number.value} takes effect on {revision.effective.text}"
        allowed = f"a day up to {as_of.isoformat()} for this release"
        raise refusal(Kind.CONFLICT, revision.effective.where, found, allowed)


@gc_paused()
def build(
    content: Path,
    out: Path,
    as_of: date,
    *,
    release: bool = False,
    shop: Workshop | None = None,
    tell: Tell = silent,
) -> Built:
    """Build a content folder into a site.

    :param release: refuse any stop finding, and leave out the draft marks.
    :param shop: does the work and keeps what it made; without one, two processes do it and nothing is kept.
    :raises ContentError: when the content is wrong.
    :raises RenderError: when a page or card cannot be set faithfully; a card that does not fit is a FitError.
    :raises PublishError: when a release is refused or the site cannot be put in place.
    """
    if shop is None:
        with Workshop(USUAL_JOBS) as own:
            return build(content, out, as_of, release=release, shop=own, tell=tell)
    with reserved(out, content):
        return _build(content, out, as_of, release=release, shop=shop, tell=tell)


def _build(content: Path, out: Path, as_of: date, *, release: bool, shop: Workshop, tell: Tell) -> Built:
    """Build into a folder that is held for it."""
    judged = judge(content, as_of, tell, release=release)
    archive = read_archive(out)
    refuse_unknown(archive.editions, (revision.number.value for revision in judged.program.revisions))
    if release:
        check_release(judged, as_of)
        composed, files = release_files(judged, content, archive, shop=shop, tell=tell)
        refuse_other_bytes(out, judged.number, files)
    else:
        composed, files = draft_files(judged, content, archive, shop=shop, tell=tell)
    tell("putting the site in place")
    return Built(composed=composed, report=publish(files, out, held=True), made=shop.tally())


def draft_files(
    judged: Judged, content: Path, archive: Archive, *, shop: Workshop, tell: Tell = silent
) -> tuple[Composed, Spool]:
    """The files of a draft."""
    composed = compose(judged, tell=tell, past=Past(archive, frozenset(archive.editions)))
    files = render(composed, draft=True, shop=shop, tell=tell)
    files.update(signers(content))
    files[ABOUT] = draft_json(judged.ledger.day(AS_OF()).isoformat())
    return composed, files


def release_files(
    judged: Judged, content: Path, archive: Archive, *, shop: Workshop, tell: Tell = silent
) -> tuple[Composed, Mapping[str, bytes]]:
    """The released site with its frozen copy; pages that link to frozen copies are rendered for each of the two."""
    from builder.render.site import html_pages  # noqa: PLC0415 - templates and fonts are loaded at first need

    number, earlier = judged.number, archive.before(judged.number)
    composed = compose(judged, tell=tell, past=Past(earlier, frozenset(), number))
    alone = {**render(composed, draft=False, shop=shop, tell=tell), **signers(content)}
    assert judged.program.revision is not None  # noqa: S101 - check_release saw to it
    alone[ABOUT] = about_json(judged.program.revision, judged.ledger.day(AS_OF()).isoformat())
    linked = frozenset({*earlier.editions, number})
    top = compose(judged, tell=tell, past=Past(earlier, linked, number))
    files = {path: data for path, data in alone.items() if path != ABOUT}
    known = {page.id: page for page in composed.pages}
    pages = [page for page in top.pages if known.get(page.id) != page]
    files |= dict(html_pages(pages, judged.ledger.figures, top.hrefs, site_facts(judged, draft=False), SECTIONS, shop))
    files |= past_files(top, draft=False)
    return top, files | frozen_copy(number, alone, snapshot(content))


def past_files(composed: Composed, *, draft: bool) -> dict[str, bytes]:
    """What later editions read, by path."""
    judged, facts = composed.judged, told(composed.judged, draft=draft)
    return history_files(judged.program, judged.ledger, composed.single, composed.cards, composed.outputs, facts)


def render(composed: Composed, *, draft: bool, shop: Workshop, tell: Tell = silent) -> Spool:
    """Every file of the site by path."""
    from builder.render.scripts import reader_scripts  # noqa: PLC0415 - as below
    from builder.render.search_words import WORDS, words_script  # noqa: PLC0415 - as below
    from builder.render.site import render_site  # noqa: PLC0415 - templates and fonts are loaded at first need
    from builder.render.spoken import spoken_pages  # noqa: PLC0415 - as above

    judged = composed.judged
    rendered = render_site(
        pages=composed.pages,
        cards=composed.cards,
        books=composed.books,
        log_sheets=composed.outputs.log_sheets,
        labels=composed.outputs.labels,
        figures=judged.ledger.figures,
        hrefs=composed.hrefs,
        book_hrefs=composed.book_hrefs,
        facts=site_facts(judged, draft=draft),
        sections=SECTIONS,
        paper=judged.program.site.paper.value,
        shop=shop,
        tell=tell,
        sheets=judged.program.sheets,
        past=composed.past,
    )
    files = rendered.files
    facts = told(judged, draft=draft)
    editions, figures = judged.published, judged.ledger.figures
    spoken = [page for edition in editions for page in edition.pages]
    unread = unread_editions(judged.program, editions, checked_languages(judged.program, judged.ledger))
    files.update(spoken_pages(editions, sorted(unread), figures, composed.hrefs, site_facts(judged, draft=draft), shop))
    prints = {**rendered.prints, **{page.path: tuple(dict.fromkeys(figures_in(page))) for page in spoken}}
    of_pages = ((page.language, prints[page.path]) for page in spoken)
    texts = texts_on(composed.cards, figures, (*composed.outputs.spoken(), *of_pages))
    files.update(other_files(composed.outputs, judged.ledger, shop.store))
    files.update(reader_scripts(composed.reader, composed.hrefs))
    parts = tuple(name for page in composed.pages for name, _ in page.holds)
    worded = worded_pages((*composed.single, *spoken), composed.cards, judged.ledger.figures, parts)
    files[WORDS] = words_script(worded, composed.hrefs)
    files[CHAPTERS] = chapters_json(rendered.chapters, facts)
    files.update(ledger_files(judged.ledger.figures, prints, facts, texts))
    files["findings.json"] = findings_json(judged.findings, facts)
    files.update(past_files(composed, draft=draft))
    return files


def other_files(outputs: Outputs, ledger: Ledger, store: Store) -> Iterator[tuple[str, bytes]]:
    """Path and bytes of calendars and tables."""
    as_of = ledger.day(AS_OF())
    yield from ((file.path, kept_calendar(file, as_of, store)) for file in outputs.calendars)
    yield from ((file.path, csv_bytes(file.columns, file.rows)) for file in outputs.tables)


def site_facts(judged: Judged, *, draft: bool) -> dict[str, Any]:
    """What every page says about the handbook it belongs to."""
    return facts_of(judged.program, judged.ledger, draft=draft)


def told(judged: Judged, *, draft: bool) -> dict[str, Any]:
    """What each file of data holds for."""
    return told_of(judged.program, judged.ledger, draft=draft)
