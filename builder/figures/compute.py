"""Program to figures: every topic in one readable order, inputs before what is made from them."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date

from builder.base.errors import ContentError
from builder.figures.computed import Computed, computed_of
from builder.figures.ledger import Ledger, LedgerBuilder, formula_names
from builder.figures.logbook.book import Logbook, read_logbook
from builder.figures.logbook.states import on_day
from builder.figures.recorder import FigureRecorder
from builder.figures.topics import (
    areas,
    calibration_spans,
    charts,
    clean_air,
    clocks,
    cross,
    cylinders,
    dates,
    detectors,
    examples,
    factors,
    gas_checks,
    gas_ratios,
    gases,
    intervals,
    mixtures,
    model_facts,
    oxygen,
    readback,
    readings,
    recommend,
    records,
    retention,
    sampling,
    setpoints,
    shifts,
    site,
    stations,
    stock,
    vapours,
    work_values,
)
from builder.program.program import Program

TOPICS: tuple[Callable[[FigureRecorder], None], ...] = (
    site.compute, oxygen.compute, gases.compute, shifts.compute, detectors.compute, factors.compute, areas.compute,
    work_values.compute, vapours.compute, setpoints.compute, readings.compute, mixtures.compute, charts.compute,
    examples.compute, cross.compute, cylinders.compute, calibration_spans.compute, gas_checks.compute,
    gas_ratios.compute, clean_air.compute, stock.compute, sampling.compute, clocks.compute, model_facts.compute,
    dates.compute, stations.compute, readback.compute, retention.compute,
)  # fmt: skip
"""What is computed of the plan, in order."""
FROM_RECORDS: tuple[Callable[[FigureRecorder, Logbook], None], ...] = (
    intervals.compute,
    records.compute,
    recommend.compute,
)
"""What the records teach, in order, once the windows that they are judged by are known."""


def compute(program: Program, as_of: date) -> Computed:
    """All figures of a program and its judged records, as things stand on ``as_of``.

    :raises ContentError: when the content asks a formula outside its range of validity.
    """
    recorder = _recorder(program, as_of)
    for _ in _planned(recorder):
        pass
    return _with_records(recorder)


def ledger_with(program: Program, as_of: date, key: str) -> tuple[Ledger, bool]:
    """Figures up to the one that has a key, and whether they are all; later topics are not even looked at.

    What it is made from is among them, since no figure is made before its inputs. Nothing is told of other names that
    a key may have, which are only known when all figures are.

    :raises ContentError: when the content asks a formula outside its range of validity until then.
    """
    recorder = _recorder(program, as_of)
    for _ in _planned(recorder):
        made = replace(recorder.ledger.finish(), aliases={})
        if key in made:
            return made, False
    return _with_records(recorder).ledger, True


def _recorder(program: Program, as_of: date) -> FigureRecorder:
    program = on_day(program, as_of)
    names = formula_names((gas.entry.formula, gas.id) for gas in program.gases.values())
    return FigureRecorder(program=program, ledger=LedgerBuilder(names), as_of=as_of)


def _planned(recorder: FigureRecorder) -> Iterator[None]:
    """Compute the plan, topic by topic."""
    for topic in TOPICS:
        topic(recorder)
        _refuse(recorder)
        yield


def _with_records(recorder: FigureRecorder) -> Computed:
    """All of it, once the plan is computed."""
    logbook = read_logbook(recorder.program, recorder.ledger, recorder.as_of)
    for topic in FROM_RECORDS:
        topic(recorder, logbook)
        _refuse(recorder)
    return computed_of(recorder.program, recorder.ledger.finish(), logbook)


def _refuse(recorder: FigureRecorder) -> None:
    if recorder.problems:
        raise ContentError(recorder.problems)
