"""Program to ledger: every topic in one readable order, inputs before what is made from them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from builder.base.errors import ContentError
from builder.figures.bench import Bench
from builder.figures.ledger import Ledger, LedgerBuilder, formula_names
from builder.figures.topics import (
    areas,
    cylinders,
    dates,
    detectors,
    gas_checks,
    gases,
    readings,
    sampling,
    setpoints,
    site,
)
from builder.program.program import Program

TOPICS: tuple[Callable[[Bench], None], ...] = (
    site.compute,
    gases.compute,
    detectors.compute,
    areas.compute,
    setpoints.compute,
    readings.compute,
    cylinders.compute,
    gas_checks.compute,
    cylinders.compute_stock,
    sampling.compute,
    dates.compute,
)
"""What is computed, in order."""


def compute(program: Program, as_of: date) -> Ledger:
    """The ledger of a program, judged on ``as_of``.

    :raises ContentError: when the content asks a formula outside its range of validity.
    """
    names = formula_names((gas.entry.formula, gas.id) for gas in program.gases.values())
    bench = Bench(program=program, ledger=LedgerBuilder(names), as_of=as_of)
    for topic in TOPICS:
        topic(bench)
        if bench.problems:
            raise ContentError(bench.problems)
    return bench.ledger.finish()
