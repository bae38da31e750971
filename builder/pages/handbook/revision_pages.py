"""The pages that tell of other editions, composed last, since they need everything this edition says."""

from collections.abc import Iterable, Mapping
from typing import Any

from builder.figures.ledger import Ledger
from builder.history.archive import Past
from builder.history.compare import EditionComparison
from builder.history.edition import Edition
from builder.history.reprint import Reprints, comparison_of
from builder.history.status import statuses
from builder.pages.blocks import Card, Page
from builder.pages.books.selection import specs_of
from builder.pages.edition import edition_of
from builder.pages.handbook.differences import differences_page
from builder.pages.handbook.status import status_page
from builder.pages.outputs import Outputs
from builder.program.program import Program


def closing_pages(
    program: Program,
    ledger: Ledger,
    pages: Iterable[Page],
    cards: Iterable[Card],
    outputs: Outputs,
    facts: Mapping[str, Any],
    past: Past,
    single: Iterable[Page],
) -> tuple[Page, ...]:
    """Differences to the last release, and what every code on a card means.

    :param facts: what the ledger of this edition holds for; ``revision`` names it.
    :param single: the pages before any were joined.
    """
    pages, numbers = tuple(pages), past.archive.last is not None
    present = edition_of(program, ledger, pages, cards, outputs, facts, single=single, numbers=numbers)
    # A frozen copy stands alone, so it links to no other and tells what was so on its day.
    frozen = present.name if past.releasing and past.releasing not in past.linked else ""
    return (
        differences_page(
            against_last(past, present, program),
            ledger.figures,
            [name for page in pages for name in (page.id, *(held for held, _ in page.holds))],
            specs_of(program) if past.releasing else (),
            names=program.site.names_public,
        ),
        status_page(statuses(past.archive, present, released=bool(past.releasing)), frozen=frozen),
    )


def against_last(past: Past, present: Edition, program: Program) -> tuple[EditionComparison, Reprints] | None:
    """This edition against the last release, or ``None`` before the first."""
    last = past.archive.last
    if last is None:
        return None
    return comparison_of(last, present, past, program)
