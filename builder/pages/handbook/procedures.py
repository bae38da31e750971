"""Procedures: the index, and one page a procedure with its cautions before its steps."""

from collections.abc import Iterator
from dataclasses import replace

from builder.pages.blocks import Block, ItemList, Notice
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.labels import ROLES, word
from builder.pages.handbook.parts import apart, facts, inlines, listed, page, table
from builder.program.keys.families import PROCEDURE_REVIEW_DUE, PROCEDURE_REVIEWED
from builder.program.prose import Procedure

REVIEWED, REVIEW_DUE = "Last review", "Review due by"


def procedure_pages(book: HandbookContext) -> Iterator[Page]:
    """The index and a page a procedure."""
    rows = (
        (
            book.link("procedure", procedure.id),
            _who(procedure),
            listed(book.links("check", procedure.checks), "no check"),
            listed(book.links("area", procedure.areas), "everywhere"),
            book.fig(PROCEDURE_REVIEW_DUE(procedure=procedure.id)),
        )
        for procedure in book.program.procedures.values()
    )
    lead = fixed("procedures.lead")
    yield index_page(
        "procedures", lead, (table(("Procedure", "Who", "Checks", "Where", "Review due by"), rows, numeric=(4,)),)
    )
    for procedure in book.program.procedures.values():
        yield _procedure_page(book, procedure)


def _who(procedure: Procedure) -> str:
    return ", ".join(word(ROLES, given.value) for given in procedure.roles)


def _procedure_page(book: HandbookContext, procedure: Procedure) -> Page:
    cautions = tuple(block for caution in procedure.cautions for block in book.prose(caution.nodes))
    blocks: tuple[Block, ...] = (
        *((Notice("caution", cautions, "Before you start"),) if cautions else ()),
        *book.found(f"procedure:{procedure.id}"),
        *(_steps(block) for block in book.prose(procedure.body)),
        _facts(book, procedure),
    )
    lead = inlines("For: ", apart(_who(procedure)), ". Read the cautions before the first step.")
    return page(f"procedure:{procedure.id}", procedure.title, "procedures", lead, blocks)


def _steps(block: Block) -> Block:
    """A numbered list of a procedure is its steps."""
    return replace(block, kind="steps") if isinstance(block, ItemList) and block.ordered else block


def _facts(book: HandbookContext, procedure: Procedure) -> Block:
    return facts(
        ("Checks made by it", listed(book.links("check", procedure.checks)) if procedure.checks else None),
        ("Where", listed(book.links("area", procedure.areas)) if procedure.areas else None),
        ("Models", listed(book.links("model", procedure.models)) if procedure.models else None),
        (REVIEWED, book.maybe(PROCEDURE_REVIEWED(procedure=procedure.id))),
        (REVIEW_DUE, book.fig(PROCEDURE_REVIEW_DUE(procedure=procedure.id))),
    )
