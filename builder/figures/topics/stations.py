"""Until when the leak test of a station holds."""

from __future__ import annotations

from builder.figures.formulas import clock
from builder.figures.recorder import FigureRecorder
from builder.figures.terms import exactly, written
from builder.program.keys.families import STATION_LEAK_DUE, STATION_LEAK_TESTED


def compute(recorder: FigureRecorder) -> None:
    """Enter ``station.<station>.leak-tested`` and ``.leak-test-due``."""
    for station in recorder.program.stations.values():
        with recorder.at(station.leak_tested.where):
            label = f"Last leak test of {station.name.value}"
            last = recorder.day(STATION_LEAK_TESTED(station=station.id), label, station.leak_tested, "last")
            label = f"Leak test of {station.name.value} holds until"
            every = written("every", station.leak_test_every)
            recorder.derived(
                STATION_LEAK_DUE(station=station.id), label, "", None, clock.next_due, exactly(last), every
            )
