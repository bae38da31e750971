"""Retention: what the site keeps for how long, and the published minimums to hold it against."""

from collections.abc import Iterator

from builder.pages.blocks import Block, Inlines
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import Row, head, inlines, page, para, table, to
from builder.program.keys.families import RETENTION_KEEP, RETENTION_MINIMUM
from builder.program.retention import Retention
from builder.reference.retention import Minimum, minimums

NOTHING_SAID = "the site has not said how long it keeps its records: retention.yaml"


def retention_pages(book: HandbookContext) -> Iterator[Page]:
    """The one page of retention."""
    own = (_own(book, entry) for entry in book.program.retention)
    published = (
        (
            minimum.what,
            _least(book, minimum),
            f"{minimum.citation} ({minimum.force}, {minimum.place})",
            "yes" if minimum.read else "no: from memory or another account",
        )
        for minimum in minimums()
    )
    blocks: list[Block] = [
        head("What this site keeps"),
        table(("Record", "Kept", "By which rule", "Source"), own, empty=NOTHING_SAID),
        para(fixed("retention.nothing-deleted")),
        head("Published minimums"),
        table(("Record", "At least", "Rule", "Read in its source"), published),
        para(fixed("retention.other-rules")),
        para("Who answers for records: ", to("page:program", "the program"), "."),
    ]
    lead = inlines("Records, permits and revisions: how long, and by which rule.")
    yield page(id="page:retention", title="How long records are kept", section="program", lead=lead, blocks=blocks)


def _least(book: HandbookContext, minimum: Minimum) -> Inlines:
    before, _, after = minimum.keep.partition("{}")
    years = book.fig(RETENTION_MINIMUM(entry=minimum.id)) if minimum.years else ()
    return inlines(*(part for part in (before, *years, after) if part))


def _own(book: HandbookContext, entry: Retention) -> Row:
    kept = list(book.fig(RETENTION_KEEP(entry=entry.id))) if entry.keep else []
    if entry.until:
        kept += inlines(", and " if kept else "", f"until {entry.until.value}")
    return (
        entry.what.value,
        tuple(kept),
        entry.rule.value,
        entry.source.value if entry.source else "the site's own policy",
    )
