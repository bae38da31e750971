"""A program with all that is made of it once and asked for again and again, by rules, pages and papers."""

from dataclasses import dataclass

from builder.figures.due_checks import DueCheck, due_checks
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.program.program import Program


@dataclass(frozen=True, slots=True, kw_only=True)
class Computed:
    """A program as it stands on one day; nothing of it is remembered anywhere else."""

    program: Program
    ledger: Ledger
    logbook: Logbook
    """Its records, judged by the windows of the ledger."""
    due_checks: tuple[DueCheck, ...]
    """Where every check of every unit stands."""


def computed_of(program: Program, ledger: Ledger, logbook: Logbook) -> Computed:
    """The same three, and the checks that follow from them."""
    return Computed(program=program, ledger=ledger, logbook=logbook, due_checks=due_checks(program, ledger))
