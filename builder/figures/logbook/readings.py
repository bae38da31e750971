"""As-found readings of sensors, one after the other since each sensor was last changed."""

from fractions import Fraction

from builder.base.record import dataclass
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import UnitLog
from builder.figures.logbook.verdicts import ADJUSTS, window_for
from builder.figures.logbook.windows import Window
from builder.program.records import Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One as-found reading of one sensor, in the unit of its display."""

    record: Record
    window: Window
    found: Fraction
    left: Fraction
    """As left; the expected display where a calibration does not say."""


def readings_of(book: Logbook, log: UnitLog, kinds: frozenset[str]) -> dict[str, tuple[Reading, ...]]:
    """As-found readings by sensor since it was last changed."""
    made: dict[str, list[Reading]] = {}
    for record, verdict in log.entries:
        sensor = record.sensor.value if record.sensor else ""
        if record.kind.value == "sensor-change":
            made.pop(sensor, None)
        if record.kind.value not in kinds or record.as_found is None or verdict.expired or verdict.lacks:
            continue
        window = window_for(record, book.windows)
        if window is None:
            continue
        found = record.as_found.value
        left = record.as_left.value if record.as_left else found
        if record.as_left is None and record.kind.value in ADJUSTS:
            left = window.expected
        made.setdefault(sensor, []).append(Reading(record=record, window=window, found=found, left=left))
    return {sensor: tuple(readings) for sensor, readings in made.items()}
