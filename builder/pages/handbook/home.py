"""The first page: where a worker goes, what the safety lead has to see to, what an auditor follows; then the rest."""

from collections import Counter

from builder.base.finding import Severity
from builder.figures.due_checks import LATE, State
from builder.pages.blocks import Block, Fig, Inlines, ItemList, Paragraph, Tally
from builder.pages.books.selection import specs_of
from builder.pages.compositions import Page
from builder.pages.handbook.air import oxygen_here
from builder.pages.handbook.area_brief import whom_to_call
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import SEVERITIES, STATES, capital, word
from builder.pages.handbook.parts import apart, facts, folded, head, inlines, listed, page, para, points, table, to
from builder.pages.handbook.sections import SECTIONS
from builder.program.inventory import NOT_KNOWN
from builder.program.inventory import STATES as STATE_ORDER
from builder.program.keys import families as keyed
from builder.reference.rules import place

SAYS = {
    "areas": "Before you go in: hazards, detectors, alarms, corrections",
    "setpoints": "What every channel is set to, and why",
    "gases": "Limits, properties and the sensors that see each gas",
    "conversions": "From unit to unit, and corrections of readings",
    "detectors": "Models, sensors and every unit",
    "calibration-gas": "Cylinders, stock and acceptance windows",
    "checks": "The plan, and what falls due next",
    "procedures": "Step by step",
    "cards": "Pocket cards to print",
    "program": "Document control, contacts, revisions",
    "findings": "What the calculation found to correct",
    "figures": "How each number was made, and from what",
    "about": "What every number assumes",
    "glossary": "What the words mean, and where they come from",
    "search": "Everything by name, from A to Z",
}
RECORDS_END = "records-end-early"
"""Name of the rule that finds the newest record too old."""


def home_page(book: HandbookContext) -> Page:
    """The page ``page:home``: for who goes in, for who answers for it, for who checks it, then everything else."""
    prose = book.program.pages["home"]
    more = [other for other in book.program.pages.values() if other.section == "home" and other.id != "home"]
    others = points(
        inlines(to(f"page:{other.id}", other.title)) for other in sorted(more, key=lambda o: (o.order, o.id))
    )
    document = book.program.site.document.title.value
    blocks: tuple[Block, ...] = (
        *_areas(book),
        *whom_to_call(book),
        *book.prose(prose.body),
        *others,
        *_to_do(book),
        *_to_follow(book),
        *folded((head("What this handbook holds"), *_contents(book), *_basis(book))),
    )
    lead = inlines(book.program.site.name.value)
    return page("page:home", document, "home", lead, blocks)


def worker_home(book: HandbookContext) -> Page:
    """The first page as far as it is for who goes in, as it is read in other languages."""
    procedures = points((link,) for link in book.links("procedure", book.program.procedures))
    blocks: tuple[Block, ...] = (
        *_areas(book),
        *whom_to_call(book),
        *((head("Procedures"), *procedures) if procedures else ()),
        para(to("page:home@en", "The whole handbook")),
    )
    lead = inlines(apart(book.program.site.name.value))
    return page("page:home", book.program.site.document.title.value, "home", lead, blocks)


# ---- for who goes in ---------------------------------------------------------------


def _areas(book: HandbookContext) -> tuple[Block, ...]:
    items = tuple((Paragraph((link,)),) for link in book.links("area", book.program.areas))
    return (head("Where are you going? Where does it sound?"), ItemList(items, kind="columns")) if items else ()


# ---- for who answers ------------------------------------------------------------------


def _to_do(book: HandbookContext) -> tuple[Block, ...]:
    """What asks to be seen to, as it stood on the day of the build; a card is looked up by its code."""
    return (
        head("To do"),
        facts(
            ("Checks", _checks(book)),
            ("Findings", _counts(book)),
            ("Records end before today", _records_end(book)),
            ("Detectors", _states(book)),
            ("First pocket card to renew", _first_card(book)),
            ("Review of this handbook", _until(book, keyed.DOCUMENT_REVIEW_DUE())),
            ("Review of the setpoints", _until(book, keyed.SETPOINTS_REVIEW_DUE())),
            ("Print again", inlines("what differs from the last release: ", to("page:differences", "differences"))),
            ("Tell people", to("page:briefing", "briefing sheet, with questions by role")),
            ("Is a card still good?", inlines("ask by its code: ", to("page:status", "card status"))),
        ),
        para("Counted on ", *book.fig(keyed.AS_OF()), "; beside it stands what your own calendar makes of it today."),
    )


def _checks(book: HandbookContext) -> Inlines:
    """How many are late and soon, on the day of the build and, by script, on the reader's."""
    dated = [due for due in book.computed.due_checks if due.day is not None]
    days = Counter(due.day.isoformat() for due in dated if due.day is not None)
    states = Counter(due.state for due in book.computed.due_checks)
    soon = Counter(due.check.due_soon.text for due in dated if due.state is State.SOON and due.check.due_soon)
    lines = [
        *(f"{states[state]} {state.value.upper()}" for state in LATE if states[state]),
        *(f"{count} due within {ahead}" for ahead, count in sorted(soon.items())),
    ]
    told = ", ".join(lines) or "nothing overdue, nothing due soon"
    return inlines(Tally(told, tuple(sorted(days.items()))), ". See ", to("page:checks", "checks due"), ".")


def _counts(book: HandbookContext) -> Inlines:
    count = Counter(finding.severity for finding in book.findings)
    lines = ", ".join(f"{SEVERITIES[severity.value].lower()}: {count[severity]}" for severity in Severity)
    return inlines(f"{capital(lines) if count else 'Nothing to correct'}. See ", to("page:findings", "findings"), ".")


def _records_end(book: HandbookContext) -> Inlines | None:
    """That nothing is known of the last weeks, where the finding says so; no row where records are up to date."""
    ended = next((finding for finding in book.findings if finding.rule == RECORDS_END), None)
    return inlines(ended.message, " See ", to("page:findings", "findings"), ".") if ended else None


def _states(book: HandbookContext) -> Inlines:
    count = Counter(unit.state.value for unit in book.program.units.values())
    lines = "; ".join(f"{count[state]} {word(STATES, state)}" for state in (*STATE_ORDER, NOT_KNOWN) if count[state])
    return inlines(f"{capital(lines) or 'None is listed'}. See ", to("page:detectors", "detectors"), ".")


def _first_card(book: HandbookContext) -> Inlines | None:
    """The card whose last day comes first; none before any revision holds, since cards of drafts have no such day."""
    ends = [(book.ledger.day(key), card) for card in book.program.cards if (key := _card_key(card)) in book.ledger]
    if not ends or not book.program.in_force(book.ledger.today):
        return None
    _, card = min(ends)
    return inlines(book.link("card", card), ", by ", Fig(_card_key(card), due=True))


def _card_key(card: str) -> str:
    return keyed.CARD_VALID_UNTIL(card=card)


def _until(book: HandbookContext, key: str) -> Inlines | None:
    return inlines("due by ", Fig(key, due=True)) if key in book.ledger else None


# ---- for who follows figures -----------------------------------------------------------


def _to_follow(book: HandbookContext) -> tuple[Block, ...]:
    revision = book.program.revision
    number = _newest(revision.number.value) if revision else "none yet"
    return (
        head("To check this handbook"),
        facts(
            ("Revisions and approvals", to("page:revisions", number)),
            ("What this edition changes", to("page:differences", "differences")),
            ("How a number was made", fixed("home.numbers")),
            ("What numbers assume", to("page:cautions", "cautions")),
            ("What was done", to("page:records", "records") if book.program.records else None),
            ("Verify a copy", fixed("home.verify")),
        ),
    )


def _newest(number: int) -> str:
    return f"revision {number} and those before it" if number > 1 else f"revision {number}"


# ---- everything -----------------------------------------------------------------------


def _contents(book: HandbookContext) -> tuple[Block, ...]:
    rows = ((to(index, title), SAYS[name]) for name, title, index in SECTIONS if name in SAYS)
    books = (to(f"book:{spec.id}", spec.title.value) for spec in specs_of(book.program))
    return table(("Part", "What is in it"), rows), para("To print: ", *listed(books, mark=", "), ".")


def _basis(book: HandbookContext) -> tuple[Block, ...]:
    site = book.program.site
    source = book.program.library.source(site.basis.lel.value)
    lists = book.program.library.limit_lists()
    elsewhere = [
        inlines(place(area.place.value).name, " (", book.link("area", area.id), ")")
        for area in book.program.areas.values()
        if area.place is not None
    ]
    return (
        head("What every figure rests on"),
        facts(
            ("Basis of %LEL", source.cited()),
            ("Why this basis", site.basis.lel_reason.value),
            ("Place whose rules are used", place(site.place.value).name),
            ("Other places", listed(elsewhere) if elsewhere else None),
            ("Limit lists", listed(inlines(lists[name].name) for name in book.program.limit_lists)),
            ("Reference temperature of mg/m³", book.maybe(keyed.REFERENCE_TEMPERATURE())),
            ("Reference pressure of mg/m³", book.maybe(keyed.REFERENCE_PRESSURE())),
            ("Altitude of the site", book.maybe(keyed.SITE_ALTITUDE())),
            ("Pressure at the site", book.fig(keyed.SITE_PRESSURE())),
            ("Temperature at the site", book.fig(keyed.SITE_TEMPERATURE())),
            ("Molar volume at the site", book.maybe(keyed.SITE_MOLAR_VOLUME())),
            ("Longest shift", book.maybe(keyed.SITE_SHIFT())),
            ("8-hour limits are multiplied for it by", book.maybe(keyed.SITE_LONG_SHIFT_FACTOR())),
            ("Due dates counted from", book.fig(keyed.AS_OF())),
        ),
        *oxygen_here(book),
        para("What the numbers assume beyond this: ", to("page:cautions", "cautions"), "."),
    )
