"""Revisions: what was released, by whom, where its frozen copy lies, and how it differs from the one before."""

from collections.abc import Iterator

from builder.history.compare import compare
from builder.pages.blocks import FILE, Absent, Block, Inlines
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import Row, facts, inlines, page, para, subhead, table, to
from builder.program.keys.families import REVISION_EFFECTIVE
from builder.program.revisions import Revision

COLUMNS = ("Revision", "In force from", "What changed and why", "Frozen copy", "Against the one before")


def revision_pages(book: HandbookContext) -> Iterator[Page]:
    """The one page of revisions."""
    rows = (_row(book, revision) for revision in reversed(book.program.revisions))
    names = (
        block for revision in reversed(book.program.revisions) for block in (_head(revision), _facts(book, revision))
    )
    blocks: tuple[Block, ...] = (
        table(COLUMNS, rows, empty="nothing was released yet"),
        para("What a code on a pocket card means today: ", to("page:status", "card status"), "."),
        para("What this edition changes: ", to("page:differences", "differences"), "."),
        *names,
    )
    yield page(id="page:revisions", title="Revisions", section="program", lead=fixed("revisions.lead"), blocks=blocks)


def _row(book: HandbookContext, revision: Revision) -> Row:
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
    if number in book.frozen:
        return inlines(to(f"{FILE}revisions/{number}/index.html", "as it was released"))
    if number in book.archive.editions:
        return inlines("in the site that holds this copy")
    if number == book.releasing:
        return inlines("this one")
    return (Absent("not in this folder"),)


def _differences(book: HandbookContext, number: int) -> Inlines:
    if number == book.releasing:
        return inlines(to("page:differences", "differences"))
    now, before = book.archive.editions.get(number), book.archive.editions.get(number - 1)
    if now is None or before is None:
        return (Absent("only with the copies of both"),)
    found = compare(before, now)
    counted = f"{len(found.substance)} figures, {len(found.texts)} texts"
    if number in book.frozen:
        return inlines(to(f"{FILE}revisions/{number}/differences.html", counted))
    return inlines(counted)


def _head(revision: Revision) -> Block:
    return subhead(f"Revision {revision.number.value}", anchor=f"revision-{revision.number.value}")


def _facts(book: HandbookContext, revision: Revision) -> Block:
    return facts(
        ("Effective", _effective(book, revision)),
        ("Prepared by", revision.prepared.value),
        ("Reviewed by", revision.review),
        ("Approved by", revision.approval),
    )
