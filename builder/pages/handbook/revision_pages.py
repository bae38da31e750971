"""The pages that tell of other editions: what was released, how this one differs, and what codes on cards mean.

Those on differences and codes are composed last, since they need everything this edition says.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from builder.figures.ledger import Ledger
from builder.history.archive import Past
from builder.history.compare import compare
from builder.history.reprint import comparison_of
from builder.history.status import CodeStatus, statuses
from builder.pages.blocks import FILE, Absent, Block, Code, Day, Inlines, Link, Strong, Table, Text
from builder.pages.books.selection import specs_of
from builder.pages.compositions import Card, Page
from builder.pages.edition import edition_of
from builder.pages.handbook.cards import NO_DAY
from builder.pages.handbook.differences import differences_page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parted_pages import parted_pages
from builder.pages.handbook.parts import Row, facts, inlines, page, para, subhead, table, to
from builder.pages.outputs import Outputs
from builder.pages.texts import CarriedTexts
from builder.program.keys.families import REVISION_EFFECTIVE
from builder.program.program import Program
from builder.program.revisions import Revision

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
    lead = fixed("status.frozen", revision=frozen) if frozen else fixed("status.lead")
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
    return page("page:status", "Card status", "cards", lead, blocks)


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
    last = past.archive.last
    present = edition_of(ledger, pages, cards, outputs, texts, facts, numbers=last is not None)
    # A frozen copy stands alone, so it links to no other and tells what was so on its day.
    frozen = present.name if past.releasing and past.releasing not in past.linked else ""
    differences = differences_page(
        comparison_of(last, present, past, program) if last else None,
        ledger.figures,
        [name for page in pages for name in (page.id, *(held for held, _ in page.holds))],
        specs_of(program) if past.releasing else (),
        names=program.site.names_public,
    )
    return (
        *parted_pages(differences),
        status_page(statuses(past.archive, present, released=bool(past.releasing)), frozen=frozen),
    )


# ---- what was released ---------------------------------------------------------------------


RELEASED = ("Revision", "In force from", "What changed and why", "Frozen copy", "Against the one before")


def revision_pages(book: HandbookContext) -> Iterator[Page]:
    """The one page of revisions."""
    rows = (_released(book, revision) for revision in reversed(book.program.revisions))
    blocks: tuple[Block, ...] = (
        table(RELEASED, rows, empty="nothing was released yet"),
        para("What a code on a pocket card means today: ", to("page:status", "card status"), "."),
        para("What this edition changes: ", to("page:differences", "differences"), "."),
        *(block for revision in reversed(book.program.revisions) for block in _names(book, revision)),
    )
    yield page("page:revisions", "Revisions", "program", fixed("revisions.lead"), blocks)


def _released(book: HandbookContext, revision: Revision) -> Row:
    number = revision.number.value
    return (
        str(number),
        _effective(book, revision),
        revision.reason.value,
        _copy(book, number),
        _differences(book, number),
    )


def _effective(book: HandbookContext, revision: Revision) -> Inlines:
    return book.fig(REVISION_EFFECTIVE(revision=revision.number.value), absent=revision.effective.value.isoformat())


def _copy(book: HandbookContext, number: int) -> Inlines:
    if number in book.past.linked:
        return inlines(to(f"{FILE}revisions/{number}/index.html", "as it was released"))
    if number in book.past.archive.editions:
        return inlines("in the site that holds this copy")
    if number == book.past.releasing:
        return inlines("this one")
    return (Absent("not in this folder"),)


def _differences(book: HandbookContext, number: int) -> Inlines:
    if number == book.past.releasing:
        return inlines(to("page:differences", "differences"))
    now, before = book.past.archive.editions.get(number), book.past.archive.editions.get(number - 1)
    if now is None or before is None:
        return (Absent("only with the copies of both"),)
    found = compare(before, now)
    counted = f"{len(found.substance)} figures, {len(found.texts)} texts"
    if number in book.past.linked:
        return inlines(to(f"{FILE}revisions/{number}/differences.html", counted))
    return inlines(counted)


def _names(book: HandbookContext, revision: Revision) -> tuple[Block, Block]:
    number = revision.number.value
    told = facts(
        ("Effective", _effective(book, revision)),
        ("Prepared by", revision.prepared.value),
        ("Reviewed by", revision.review),
        ("Approved by", revision.approval),
    )
    return subhead(f"Revision {number}", anchor=f"revision-{number}"), told
