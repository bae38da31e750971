"""A check made with a cylinder that does not hold its gas: for a bump test any it sees, else the one it is set with.

Source: the certificate of the gas.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.record_findings import by_cause, entries, row_text, subject
from builder.program.program import Program
from builder.program.records import Record

ID = "record-cylinder-lacks-gas"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each cylinder, with all its rows."""
    book = computed.logbook
    yield from by_cause(
        (record.cylinder.value, _finding(computed.program, record, record.cylinder.value))
        for record, verdict in entries(book)
        if verdict.lacks and record.cylinder is not None
    )


def _finding(program: Program, record: Record, name: str) -> Finding:

    return Finding(
        rule=ID,
        severity=Severity.STOP,
        message=f"{row_text(program, record)}: cylinder {name} does not hold gas for it.",
        where=record.where,
        source=f"certificate: {program.cylinders[name].certificate.value}",
        mend="find out which cylinder was used, mend the record, or repeat the check",
        subject=subject(program, record),
    )
