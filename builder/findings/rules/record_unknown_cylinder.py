"""A check made with a cylinder that the content does not have: its gas cannot be judged.

Source: common practice; bottles that records name stay in the content until those records are no longer needed.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.record_findings import by_cause, row_text, subject
from builder.findings.wording import COMMON_PRACTICE
from builder.program.program import Program
from builder.program.records import Record

ID = "record-unknown-cylinder"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such cylinder, with all its rows."""
    program = computed.program
    yield from by_cause(
        (record.cylinder.value, _finding(program, record, record.cylinder.value))
        for record in program.records
        if record.cylinder is not None and record.cylinder.value not in program.cylinders
    )


def _finding(program: Program, record: Record, cylinder: str) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{row_text(program, record)}: it names cylinder {cylinder}, which the content does not have.",
        where=record.where,
        source=COMMON_PRACTICE,
        mend="mend the id, or enter the cylinder with its certificate",
        subject=subject(program, record),
    )
