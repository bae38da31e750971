"""A row of a record file that says the same as an earlier one of the same moment: one test, counted twice.

Source: common practice; a file exported twice, or a row copied by hand.
"""

from collections.abc import Hashable, Iterator
from itertools import groupby

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.record_findings import by_cause, row_text, subject
from builder.findings.wording import COMMON_PRACTICE
from builder.program.program import Program
from builder.program.records import Record

ID = "record-doubled"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each unit, with all its doubled rows."""
    program = computed.program
    yield from by_cause(
        (second.unit.value, _finding(program, first, second)) for first, second in _doubled(program.records)
    )


def _doubled(records: tuple[Record, ...]) -> Iterator[tuple[Record, Record]]:
    """The first and each further row that says the same; records come by time."""
    for _, same in groupby(records, key=lambda record: record.time.value):
        seen: dict[Hashable, Record] = {}
        for record in same:
            first = seen.setdefault(_said(record), record)
            if first is not record:
                yield first, record


def _said(record: Record) -> Hashable:
    """Everything a row says but its note."""
    cells = (record.sensor, record.cylinder, record.as_found, record.as_left, record.seconds, record.result, record.by)
    return (record.unit.value, record.what, tuple(cell and cell.value for cell in cells))


def _finding(program: Program, first: Record, second: Record) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{row_text(program, second)}: the row says the same as {first.where} does. Both are counted as tests.",
        where=second.where,
        figures=(),
        source=COMMON_PRACTICE,
        mend="take the second row out, or mend what was copied wrongly",
        subject=subject(program, second),
    )
