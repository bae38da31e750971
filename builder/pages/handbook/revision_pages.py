"""The pages that tell of other editions, composed last, since they need everything this edition says."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from builder.figures.ledger import Ledger
from builder.history.archive import Past
from builder.history.compare import EditionComparison
from builder.history.edition import Edition
from builder.history.reprint import Reprints, comparison_of
from builder.history.status import CodeStatus, statuses
from builder.pages.blocks import Block, Code, Day, Inlines, Link, Strong, Table, Text
from builder.pages.books.selection import specs_of
from builder.pages.compositions import Card, Page
from builder.pages.edition import edition_of
from builder.pages.handbook.cards import NO_DAY
from builder.pages.handbook.differences import differences_page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.parted_pages import parted_pages
from builder.pages.handbook.parts import inlines, page, para, to
from builder.pages.outputs import Outputs
from builder.pages.texts import CarriedTexts
from builder.program.program import Program

ONLY_FOOT = "only revision and dates"
STATES = {
    "current": "current",
    "superseded": "superseded: destroy it",
    "withdrawn": "withdrawn: destroy it",
    "draft": "draft: not for use",
}
SUPERSEDED = Link("term:superseded", (Text("superseded"),), quiet=True)
COLUMNS = ("Code", "Status", "Card", "Valid until the end of", "Printed in", "Replaced by", "What changed on it")


def status_page(found: Sequence[CodeStatus], *, frozen: str) -> Page:
    """The page ``page:status``, with the code of each card as an anchor.

    :param frozen: name of the revision, when the page stands in a frozen copy; it then says what was so on that day.
    """
    lead = fixed("status.lead")
    if frozen:
        lead = fixed("status.frozen", revision=frozen)
    blocks: list[Block] = [
        Table(
            COLUMNS,
            tuple(_row(status, frozen=bool(frozen)) for status in found),
            caption="Every code that was ever printed",
            empty="no card was released yet",
            row_ids=tuple(status.code for status in found),
        ),
        para(fixed("status.unknown-code", superseded=SUPERSEDED)),
        para("The cards of today: ", to("page:cards", "pocket cards"), "."),
    ]
    return page(id="page:status", title="Card status", section="cards", lead=inlines(lead), blocks=blocks)


def _row(status: CodeStatus, *, frozen: bool) -> tuple[Inlines, ...]:
    word = "current on that day" if frozen and status.state == "current" else STATES[status.state]
    gone = f"nothing: left out of {status.by}" if status.by else "nothing"
    replaced = inlines(f"{status.by}: ", Code(status.by_code)) if status.by_code else inlines(gone)
    valid = (
        (Day(status.valid_until, status.last_day),) if status.last_day else inlines(status.valid_until or "not told")
    )
    changed = "; ".join(status.changed) or (ONLY_FOOT if status.state == "superseded" else "")
    return (
        (Code(status.code),),
        (Strong((Text(word),)),),
        inlines(status.title),
        NO_DAY if status.state == "draft" else valid,
        inlines(status.edition),
        replaced,
        inlines(changed or "nothing"),
    )


def closing_pages(
    program: Program,
    ledger: Ledger,
    pages: Sequence[Page],
    cards: Iterable[Card],
    outputs: Outputs,
    texts: CarriedTexts,
    facts: Mapping[str, Any],
    past: Past,
) -> tuple[Page, ...]:
    """Differences to the last release, and what every code on a card means.

    :param facts: what the ledger of this edition holds for; ``revision`` names it.
    """
    present = edition_of(ledger, pages, cards, outputs, texts, facts, numbers=past.archive.last is not None)
    # A frozen copy stands alone, so it links to no other and tells what was so on its day.
    frozen = present.name if past.releasing and past.releasing not in past.linked else ""
    differences = differences_page(
        against_last(past, present, program),
        ledger.figures,
        [name for page in pages for name in (page.id, *(held for held, _ in page.holds))],
        specs_of(program) if past.releasing else (),
        names=program.site.names_public,
    )
    return (
        *parted_pages(differences),
        status_page(statuses(past.archive, present, released=bool(past.releasing)), frozen=frozen),
    )


def against_last(past: Past, present: Edition, program: Program) -> tuple[EditionComparison, Reprints] | None:
    """This edition against the last release, or ``None`` before the first."""
    last = past.archive.last
    if last is None:
        return None
    return comparison_of(last, present, past, program)
