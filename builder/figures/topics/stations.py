"""Until when the leak test of a station holds, and how far its own log reaches."""

from datetime import date

from builder.base.where import Given
from builder.figures.formulas import clock
from builder.figures.recorder import FigureRecorder
from builder.figures.terms import written
from builder.program.keys.families import STATION_LEAK_DUE, STATION_LEAK_TESTED, STATION_LOG_UNTIL
from builder.program.station_log import LEAK_TEST
from builder.program.stations import Station


def compute(recorder: FigureRecorder) -> None:
    """Enter ``station.<station>.leak-tested``, ``.leak-test-due`` and ``.log-until``."""
    for station in recorder.program.stations.values():
        with recorder.at(station.leak_test.last.where):
            label = f"Last leak test of {station.name.value}"
            last = recorder.day(STATION_LEAK_TESTED(station=station.id), label, leak_tested(recorder, station), "last")
            label = f"Leak test of {station.name.value} holds until"
            every = written("every", station.leak_test.every)
            recorder.derived(STATION_LEAK_DUE(station=station.id), label, "", None, clock.next_due, last, every)
        rows = [row for row in recorder.program.station_log if row.station.value == station.id]
        if rows:
            told = Given(rows[-1].day, rows[-1].where, rows[-1].time.text)
            recorder.day(
                STATION_LOG_UNTIL(station=station.id), f"Last row of the log of {station.name.value}", told, "time"
            )


def leak_tested(recorder: FigureRecorder, station: Station) -> Given[date]:
    """Its last good leak test: the later of what the content says and what its own log has until today."""
    good = [
        Given(row.day, row.where, row.time.text)
        for row in recorder.program.station_log
        if row.station.value == station.id and row.what.value == LEAK_TEST and row.passed and row.day <= recorder.as_of
    ]
    return max((station.leak_test.last, *good), key=lambda given: given.value)
