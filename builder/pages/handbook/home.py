"""The first page: what the site says first, then what every figure rests on and where to find things."""

from __future__ import annotations

from collections import Counter

from builder.base.finding import Severity
from builder.pages.blocks import Block, Inlines, Page
from builder.pages.handbook.air import oxygen_here
from builder.pages.handbook.book import Book
from builder.pages.handbook.parts import facts, head, listed, page, para, points, said, table, to
from builder.pages.handbook.sections import SECTIONS, path_of
from builder.pages.handbook.words import LISTS, SEVERITIES, STATES, capital, word
from builder.program.inventory import STATES as STATE_ORDER
from builder.reference.rules import place

SAYS = {
    "areas": "Before you go in: hazards, detectors, alarms, corrections",
    "setpoints": "What every channel is set to, and why",
    "gases": "Limits, properties and the sensors that see each gas",
    "conversions": "Charts between units, and corrections of readings",
    "detectors": "Models, sensors and every unit",
    "calibration-gas": "Cylinders, stock and acceptance windows",
    "checks": "The plan, and what falls due next",
    "procedures": "Step by step",
    "cards": "Pocket cards to print",
    "program": "Document control, contacts, revisions",
    "findings": "What the computation found to mend",
    "figures": "How each number was made, and from what",
    "about": "What every number assumes",
    "glossary": "What the words mean, and where they come from",
    "search": "Everything by name, from A to Z",
}


def home_page(book: Book) -> Page:
    """The page ``page:home``."""
    prose = book.program.pages["home"]
    more = [other for other in book.program.pages.values() if other.section == "home" and other.id != "home"]
    blocks: list[Block] = [*book.prose(prose.body)]
    blocks += [head("What this handbook holds"), _contents()]
    blocks += points(said(to(f"page:{other.id}", other.title)) for other in sorted(more, key=lambda o: (o.order, o.id)))
    blocks += [para("On paper: ", to("handbook-pdf", "the whole handbook for printing"), ".")]
    blocks += [head("What every figure rests on"), *_basis(book)]
    blocks += [head("Detectors by state"), _states(book), head("Findings"), para(*_counts(book))]
    return page(
        id="page:home",
        path=path_of("page:home"),
        title=prose.title,
        section="home",
        lead=said(f"{book.program.site.document.title.value} of {book.program.site.name.value}."),
        blocks=blocks,
    )


def _contents() -> Block:
    rows = ((said(to(index, title)), said(SAYS[name])) for name, title, index in SECTIONS if name in SAYS)
    return table(("Part", "What is in it"), rows)


def _basis(book: Book) -> tuple[Block, ...]:
    site = book.program.site
    source = book.program.library.source(site.basis.lel.value)
    return (
        facts(
            ("Basis of %LEL", said(source.cited())),
            ("Why this basis", said(site.basis.lel_reason.value)),
            ("Place whose rules are used", said(place(site.place.value).name)),
            ("Limit lists", listed(said(word(LISTS, given.value)) for given in site.basis.limits)),
            ("Reference temperature of mg/m³", book.maybe("reference.temperature")),
            ("Reference pressure of mg/m³", book.maybe("reference.pressure")),
            ("Altitude of the site", book.maybe("site.altitude")),
            ("Pressure at the site", book.fig("site.pressure")),
            ("Temperature at the site", book.fig("site.temperature")),
            ("Molar volume at the site", book.maybe("site.molar-volume")),
            ("Longest turn of work", book.maybe("site.shift")),
            ("8-hour limits lowered for it by", book.maybe("site.long-shift-factor")),
            ("Due dates counted from", book.fig("handbook.as-of")),
        ),
        *oxygen_here(book),
        para("What the numbers assume beyond this: ", to("page:cautions", "cautions"), "."),
    )


def _states(book: Book) -> Block:
    count = Counter(unit.state.value for unit in book.program.units.values())
    rows = [(said(capital(word(STATES, state))), said(str(count[state]))) for state in STATE_ORDER if count[state]]
    return table(("State", "Detectors"), rows, numeric=(1,), empty="no detector is listed")


def _counts(book: Book) -> Inlines:
    count = Counter(finding.severity for finding in book.findings)
    if not count:
        return said("The computation found nothing to mend. See ", to("page:findings", "findings"), ".")
    lines = ", ".join(f"{SEVERITIES[severity.value].lower()}: {count[severity]}" for severity in Severity)
    return said(f"{capital(lines)}. See ", to("page:findings", "findings"), ".")
