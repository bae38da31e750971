"""What records say was taken from each cylinder of check gas."""

from collections.abc import Mapping
from dataclasses import field
from datetime import date, timedelta

from builder.base.record import dataclass
from builder.program.program import Program

LOOKED_BACK = 28
"""Days whose checks tell the present use."""


@dataclass(slots=True, kw_only=True)
class Drawn:
    """What records say was taken from one cylinder."""

    since: dict[str, int] = field(default_factory=dict)
    """Checks after the day on which the pressure was read, by kind."""
    lately: int = 0
    """Checks of the last four weeks."""


def drawn_from(program: Program, as_of: date) -> Mapping[str, Drawn]:
    """Checks on record by cylinder; the rows of several sensors at one time are one check."""
    made: dict[str, Drawn] = {}
    moment, seen = None, set[tuple[str, str, str]]()
    for record in program.records:
        if record.cylinder is None or record.cylinder.value not in program.cylinders or record.day > as_of:
            continue
        if record.time.value != moment:
            moment, seen = record.time.value, set()
        case = (record.unit.value, record.kind.value, record.cylinder.value)
        if case in seen:
            continue
        seen.add(case)
        cylinder = made.setdefault(record.cylinder.value, Drawn())
        measured = program.cylinders[record.cylinder.value].measured
        if measured is not None and record.day > measured.value:
            cylinder.since[record.kind.value] = cylinder.since.get(record.kind.value, 0) + 1
        if record.day > as_of - timedelta(days=LOOKED_BACK):
            cylinder.lately += 1
    return made
