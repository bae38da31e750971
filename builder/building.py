"""From a content folder to a site in its place: judged and composed by ``pipeline``, then rendered and published."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from builder import pipeline
from builder.base.errors import PublishError, refusal
from builder.base.fault_kinds import Kind
from builder.base.gc_pause import gc_paused
from builder.base.record import dataclass
from builder.base.spool import Spool
from builder.base.store import Store
from builder.base.telling import Tell, silent
from builder.base.where import Where
from builder.figures.ledger import Ledger
from builder.history.archive import Archive, Past, read_archive
from builder.history.chapters import CHAPTERS
from builder.history.edition import ABOUT
from builder.pages.handbook.page_words import worded_pages
from builder.pages.languages.findings import unread_editions
from builder.pages.numbers import texts_on
from builder.pages.outputs import Outputs
from builder.pages.translation_findings import checked_languages
from builder.pipeline import Composed, Judged, site_facts, told
from builder.publish.calendar import kept_calendar
from builder.publish.csv_text import csv_bytes
from builder.publish.freeze import frozen_copy, refuse_other_bytes, refuse_other_entries, signers, snapshot
from builder.publish.ledger_json import about_json, chapters_json, draft_json, findings_json, history_files, put_ledger
from builder.publish.staging import PublishReport, publish, reserved
from builder.render.jobs import Workshop

if TYPE_CHECKING:
    from builder.render.site import Begun, Prints, Words

USUAL_JOBS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """What a build made."""

    composed: Composed
    report: PublishReport
    made: Mapping[str, tuple[int, int]]
    """Kind of thing -> how many of them were made anew, and how many there are."""


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
    content: Path, out: Path, as_of: date, *, release: bool = False, shop: Workshop | None = None, tell: Tell = silent
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
    judged = pipeline.judge(content, as_of, tell, release=release)
    archive = read_archive(out)
    refuse_other_entries(archive.editions, judged.program.revisions)
    if release:
        check_release(judged, as_of)
        _refuse_backdated(judged, as_of, archive)
        composed, files = release_files(judged, content, archive, shop=shop, tell=tell)
        refuse_other_bytes(out, judged.number, files)
    else:
        composed, files = draft_files(judged, content, archive, shop=shop, tell=tell)
    tell("putting the site in place")
    return Built(composed=composed, report=publish(files, out, held=True), made=shop.tally())


def _refuse_backdated(judged: Judged, as_of: date, archive: Archive) -> None:
    before = archive.before(judged.number).last
    day = before.about.as_of if before is not None and before.about is not None else ""
    if day > as_of.isoformat():
        found = f"revision {judged.number} would be judged on {as_of.isoformat()}"
        raise PublishError(f"{found}, and the one before it was on {day}; allowed: that day or later")


def draft_files(
    judged: Judged, content: Path, archive: Archive, *, shop: Workshop, tell: Tell = silent
) -> tuple[Composed, Spool]:
    """The files of a draft."""
    judged = pipeline.fitted(judged)
    begun = begin(judged, shop, tell)
    composed = pipeline.compose(judged, tell=tell, past=Past(archive, frozenset(archive.editions)))
    files = render(composed, begun, draft=True, shop=shop, tell=tell)
    files.update(signers(content))
    files[ABOUT] = draft_json(judged.ledger.today.isoformat())
    return composed, files


def release_files(
    judged: Judged, content: Path, archive: Archive, *, shop: Workshop, tell: Tell = silent
) -> tuple[Composed, Mapping[str, bytes]]:
    """The released site with its frozen copy; pages that link to frozen copies are rendered for each of the two."""
    from builder.render.site import rendered_pages  # noqa: PLC0415 - templates and fonts are loaded at first need

    judged = pipeline.fitted(judged)
    number, earlier = judged.number, archive.before(judged.number)
    begun = begin(judged, shop, tell)
    composed = pipeline.compose(judged, tell=tell, past=Past(earlier, frozenset(), number))
    alone = {**render(composed, begun, draft=False, shop=shop, tell=tell), **signers(content)}
    assert judged.program.revision is not None  # noqa: S101 - check_release saw to it
    alone[ABOUT] = about_json(judged.program.revision, judged.ledger.today.isoformat())
    linked = frozenset({*earlier.editions, number})
    top = pipeline.compose(judged, tell=tell, past=Past(earlier, linked, number))
    files = {path: data for path, data in alone.items() if path != ABOUT}
    known = {page.id: page for page in composed.pages}
    pages = [page for page in top.pages if known.get(page.id) != page]
    again = rendered_pages(pages, judged.ledger.figures, top.hrefs, site_facts(judged, draft=False), shop)
    files |= {page.path: made.data() for page, made in again}
    files |= history_files(top.texts, told(judged, draft=False))
    return top, files | frozen_copy(number, alone, snapshot(content))


def begin(judged: Judged, shop: Workshop, tell: Tell = silent) -> Begun:
    """Have papers begun that need no page, so that others are at them while pages are composed."""
    from builder.render.site import begin_papers  # noqa: PLC0415 - templates and fonts are loaded at first need

    papers = judged.papers
    return begin_papers(papers.cards.papers, papers.labels.papers, judged.ledger.figures, shop, tell)


def render(composed: Composed, begun: Begun, *, draft: bool, shop: Workshop, tell: Tell = silent) -> Spool:
    """Every file of the site by path.

    :param begun: its papers, as :func:`begin` has them.
    """
    from builder.render.imposition import setting_of  # noqa: PLC0415 - templates and fonts are loaded at first need
    from builder.render.site import Papers, render_site  # noqa: PLC0415 - as above

    judged, outputs = composed.judged, composed.outputs
    papers = Papers(
        cards=composed.cards, log_sheets=outputs.log_sheets, labels=outputs.labels,
        paper=judged.program.site.paper.value, setting=setting_of(judged.program.sheets),
    )  # fmt: skip
    rendered = render_site(
        begun=begun,
        pages=composed.pages,
        papers=papers,
        books=composed.books,
        figures=judged.ledger.figures,
        told=judged.ledger.told,
        hrefs=composed.hrefs,
        book_hrefs=composed.book_hrefs,
        facts=site_facts(judged, draft=draft),
        shop=shop,
        tell=tell,
        beside=lambda files, prints, words: _beside(composed, files, prints, words, draft=draft, shop=shop),
        past=composed.past,
    )
    files = rendered.files
    files[CHAPTERS] = chapters_json(rendered.chapters, told(judged, draft=draft))
    return files


def _beside(composed: Composed, files: Spool, prints: Prints, words: Words, *, draft: bool, shop: Workshop) -> None:
    """Make all but pages, papers and what is told of their chapters.

    :param prints: what those print.
    :param words: the words of pages.
    """
    from builder.render.scripts import WORDS, put_reader_scripts, words_script  # noqa: PLC0415 - at first need
    from builder.render.spoken import spoken_pages  # noqa: PLC0415 - as above

    judged = composed.judged
    facts, about = told(judged, draft=draft), site_facts(judged, draft=draft)
    editions, figures = judged.published, judged.ledger.figures
    spoken = [page for edition in editions for page in edition.pages]
    unread = unread_editions(judged.program, editions, checked_languages(judged.program, judged.ledger))
    known = {page.id: words[page.id] for page in composed.pages if not page.holds}
    for page, made in spoken_pages(editions, sorted(unread), figures, composed.hrefs, about, shop):
        made.put(files, page.path)
        known[page.id] = made.beside
    every = {**prints, **{page.path: page.figures for page in spoken}}
    of_pages = ((page.language, every[page.path]) for page in spoken)
    texts = texts_on(composed.cards, figures, (*composed.outputs.spoken(), *of_pages))
    files.update(other_files(composed.outputs, judged.ledger, shop.store))
    put_reader_scripts(files, composed.reader, figures, composed.hrefs, shop.store)
    parts = tuple(name for page in composed.pages for name, _ in page.holds)
    worded = worded_pages((*composed.single, *spoken), composed.cards, figures, parts, known)
    files[WORDS] = words_script(worded, composed.hrefs)
    put_ledger(files, judged.ledger, every, facts, texts, shop.store)
    files["findings.json"] = findings_json(judged.findings, facts)
    files.update(history_files(composed.texts, facts))


def other_files(outputs: Outputs, ledger: Ledger, store: Store) -> Iterator[tuple[str, bytes]]:
    """Path and bytes of calendars and tables."""
    yield from ((file.path, kept_calendar(file, ledger.today, store)) for file in outputs.calendars)
    yield from ((file.path, csv_bytes(file.columns, file.rows)) for file in outputs.tables)
