"""From a content folder to all of its figures: all that is needed by who asks for no page and no finding."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from builder.base.errors import ContentError, Problem
from builder.base.gc_pause import gc_paused
from builder.base.telling import Tell, silent
from builder.figures.compute import compute, ledger_with
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.load.content import Documents, load_content
from builder.program.program import Program
from builder.program.read import read_program
from builder.reference.library import library

Look = Callable[[Documents], Iterable[Problem]]
"""Finds faults of content as it was read."""


@gc_paused()
def computed_of(content: Path, as_of: date, tell: Tell = silent, also: Look | None = None) -> Computed:
    """Load and check a content folder, and compute its figures.

    :param also: finds faults that matter to whoever prints.
    :raises ContentError: with every fault found.
    """
    tell("reading content")
    documents, problems = load_content(content)
    more = also(documents) if also else ()
    program = read_program(documents, (*problems, *more), library())
    tell("computing figures")
    with _told_with_unknown_keys(program):
        return compute(program, as_of)


@gc_paused()
def ledger_of(content: Path, as_of: date, key: str) -> tuple[Ledger, bool]:
    """Load and check a content folder, and compute its figures up to the one of a key; whether they are all.

    :raises ContentError: with every fault found until then.
    """
    documents, problems = load_content(content)
    program = read_program(documents, problems, library())
    with _told_with_unknown_keys(program):
        return ledger_with(program, as_of, key)


@contextmanager
def _told_with_unknown_keys(program: Program) -> Iterator[None]:
    try:
        yield
    except ContentError as error:
        raise ContentError([*error.problems, *program.unknown_keys()]) from None
