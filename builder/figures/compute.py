"""Program to ledger: every topic in one readable order, inputs before what is made from them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from builder.base.errors import ContentError
from builder.figures.ledger import Ledger, LedgerBuilder, formula_names
from builder.figures.recorder import FigureRecorder
from builder.figures.topics import (
    areas,
    calibration_spans,
    charts,
    clocks,
    cross,
    cylinders,
    dates,
    detectors,
    factors,
    gas_checks,
    gases,
    intervals,
    mixtures,
    oxygen,
    readings,
    recommend,
    records,
    retention,
    sampling,
    setpoints,
    shifts,
    site,
    stock,
    vapours,
)
from builder.program.program import Program

TOPICS: tuple[Callable[[FigureRecorder], None], ...] = (
    site.compute,
    oxygen.compute,
    gases.compute,
    shifts.compute,
    detectors.compute,
    factors.compute,
    areas.compute,
    vapours.compute,
    setpoints.compute,
    readings.compute,
    mixtures.compute,
    charts.compute,
    cross.compute,
    cylinders.compute,
    calibration_spans.compute,
    gas_checks.compute,
    stock.compute,
    sampling.compute,
    intervals.compute,
    records.compute,
    recommend.compute,
    clocks.compute,
    dates.compute,
    retention.compute,
)
"""What is computed, in order."""


def compute(program: Program, as_of: date) -> Ledger:
    """The ledger of a program, judged on ``as_of``.

    :raises ContentError: when the content asks a formula outside its range of validity.
    """
    names = formula_names((gas.entry.formula, gas.id) for gas in program.gases.values())
    recorder = FigureRecorder(program=program, ledger=LedgerBuilder(names), as_of=as_of)
    for topic in TOPICS:
        topic(recorder)
        if recorder.problems:
            raise ContentError(recorder.problems)
    return recorder.ledger.finish()
