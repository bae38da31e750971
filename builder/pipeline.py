"""The stages in order: load, check, compute, compose, render, publish."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from builder import __version__
from builder.base.errors import ContentError, Problem, PublishError
from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.bench import spelled
from builder.figures.compute import compute
from builder.figures.ledger import Ledger
from builder.findings.order import find
from builder.load.content import load_content
from builder.pages.blocks import Card, Page, figures_in
from builder.pages.cards.compose import compose_cards
from builder.pages.handbook.book import names_of
from builder.pages.handbook.compose import compose_pages
from builder.pages.handbook.sections import SECTIONS
from builder.pages.hrefs import hrefs
from builder.pages.prose import ProseContext, prose_blocks
from builder.program.program import Program
from builder.program.read import read_program
from builder.publish.ledger_json import figures_json, findings_json
from builder.publish.staging import PublishReport, publish
from builder.reference.library import library

Tell = Callable[[str], None]
"""Is told, in a few words, what starts now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Content that is good, its figures, and what they prove wrong."""

    program: Program
    ledger: Ledger
    findings: tuple[Finding, ...]

    def stops(self) -> tuple[Finding, ...]:
        """Findings that refuse a release."""
        return tuple(finding for finding in self.findings if finding.severity is Severity.STOP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Composed:
    """Pages and cards as plain data."""

    judged: Judged
    pages: tuple[Page, ...]
    cards: tuple[Card, ...]
    hrefs: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """What a build made."""

    composed: Composed
    report: PublishReport


def silent(_: str) -> None:
    """Tell nobody."""


def judge(content: Path, as_of: date, tell: Tell = silent) -> Judged:
    """Load, check and compute a content folder.

    :raises ContentError: with every fault found.
    """
    tell("reading content")
    documents, problems = load_content(content)
    program = read_program(documents, problems, library())
    tell("computing figures")
    ledger = compute(program, as_of)
    return Judged(program=program, ledger=ledger, findings=find(program, ledger))


def compose(judged: Judged, *, draft: bool, tell: Tell = silent) -> Composed:
    """Pages and cards of a judged program.

    :raises ContentError: for keys in prose that no figure has.
    """
    tell("composing pages and cards")
    program, ledger = judged.program, judged.ledger
    names = names_of(program)
    titles = {
        **names,
        **{reference: title for _, title, reference in SECTIONS},
        **{f"page:{page.id}": page.title for page in program.pages.values()},
    }
    context = ProseContext(ledger=ledger, titles=lambda reference: titles.get(reference, reference))
    cards = compose_cards(program, ledger, context, draft=draft)
    codes = {card.id: card.code for card in cards}
    elsewhere: dict[str, tuple[str, ...]] = {}
    for card in cards:
        for key in dict.fromkeys(figures_in(card)):
            elsewhere[key] = (*elsewhere.get(key, ()), f"card:{card.id}")
    pages = compose_pages(
        program,
        ledger,
        judged.findings,
        lambda nodes: prose_blocks(nodes, context, steps=True),
        codes,
        literals=lambda: ((found.text, found.reason, found.where) for found in context.all_literals()),
        printed_elsewhere=elsewhere,
    )
    if context.problems:
        raise ContentError(context.problems)
    return Composed(judged=judged, pages=pages, cards=cards, hrefs=hrefs(pages, ledger, cards))


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
        where = Where("revisions", 1)
        raise ContentError([Problem(where, "no revision to release", "revisions/N.yaml with number, date and names")])
    if revision.effective.value > as_of:
        found = f"revision {revision.number.value} takes effect on {revision.effective.text}"
        raise ContentError(
            [Problem(revision.effective.where, found, f"a day up to {as_of.isoformat()} for this release")]
        )


def build(content: Path, out: Path, as_of: date, *, release: bool = False, jobs: int = 2, tell: Tell = silent) -> Built:
    """Build a content folder into a site.

    :param release: refuse any stop finding, and leave out the draft marks.
    :raises ContentError: when the content is wrong.
    :raises RenderError: when a page or card cannot be set faithfully; a card that does not fit is a FitError.
    :raises PublishError: when a release is refused or the site cannot be put in place.
    """
    judged = judge(content, as_of, tell)
    if release:
        check_release(judged, as_of)
    composed = compose(judged, draft=not release, tell=tell)
    files = render(composed, draft=not release, jobs=jobs, tell=tell)
    tell("putting the site in place")
    return Built(composed=composed, report=publish(files, out))


def render(composed: Composed, *, draft: bool, jobs: int, tell: Tell = silent) -> dict[str, bytes]:
    """Every file of the site by path."""
    from builder.render.site import render_site  # noqa: PLC0415 - templates and fonts are loaded at first need

    judged = composed.judged
    rendered = render_site(
        pages=composed.pages,
        cards=composed.cards,
        figures=judged.ledger.figures,
        hrefs=composed.hrefs,
        facts=site_facts(judged, draft=draft),
        sections=SECTIONS,
        paper=judged.program.site.paper.value,
        jobs=jobs,
        tell=tell,
    )
    files = dict(rendered.files)
    told = _told(judged, draft=draft)
    files["figures.json"] = figures_json(judged.ledger.figures, rendered.prints, told)
    files["findings.json"] = findings_json(judged.findings, told)
    return files


def site_facts(judged: Judged, *, draft: bool) -> dict[str, Any]:
    """What every page says about the handbook it belongs to."""
    site = judged.program.site
    revision = judged.program.revision
    number = revision.number.value if revision else 0
    name = (
        f"Revision {number}"
        if not draft
        else f"Draft after revision {number}"
        if number
        else "Draft, nothing released yet"
    )
    return {
        "name": site.name.value,
        "title": site.document.title.value,
        "draft": draft,
        "revision": name,
        "as_of": spelled(judged.ledger.day("handbook.as-of")),
        "invented": site.invented,
        "owner": site.document.owner.value,
        "language": site.languages[0].value,
    }


def _told(judged: Judged, *, draft: bool) -> dict[str, Any]:
    facts = site_facts(judged, draft=draft)
    return {
        "site": facts["name"],
        "revision": facts["revision"],
        "as_of": judged.ledger.day("handbook.as-of").isoformat(),
        "builder": __version__,
    }
