"""A recorded reading that the display of its unit cannot show: beyond the full scale of the sensor.

Most often it is written in another unit than the display's, or its decimal mark was lost. Source: the full scale that
the site's models state, from the instrument's manual.
"""

from collections.abc import Hashable, Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.record_findings import by_cause, row_text, subject
from builder.program.program import Program
from builder.program.records import Cell, Record

ID = "reading-beyond-scale"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each unit and sensor, with all such rows."""
    yield from by_cause(_found(computed.program))


def _found(program: Program) -> Iterator[tuple[Hashable, Finding]]:
    scales = {
        (model.id, position.sensor.value): (magnitude(position.full_scale.value, position.unit), position.full_scale)
        for model in program.models.values()
        for position in model.positions
    }
    for record in program.records:
        unit = program.units.get(record.unit.value)
        scale = scales.get((unit.model.value, record.sensor.value)) if unit and record.sensor else None
        if scale is None:
            continue
        most, full = scale
        for reading in (record.as_found, record.as_left):
            if reading is not None and abs(reading.value) > most:
                yield (
                    (record.unit.value, record.sensor and record.sensor.value),
                    _finding(program, record, reading, full.text),
                )
                break


def _finding(program: Program, record: Record, reading: Cell[Fraction], full: str) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{row_text(program, record)}: {reading.text} is beyond the full scale of the display, {full}.",
        where=record.where,
        figures=(),
        source="the full scale in models.yaml, from the instrument's manual",
        mend="write the reading as the display showed it, or with its unit",
        subject=subject(program, record),
    )
