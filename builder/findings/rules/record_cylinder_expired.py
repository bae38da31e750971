"""A check made with a cylinder that was past its last day on that day; the last day itself was still good.

Source: the certificate of the gas.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.findings.record_findings import by_cause, entries, row_text, subject
from builder.findings.wording import figure_text, keys
from builder.program.keys.families import CYLINDER_EXPIRES
from builder.program.program import Program
from builder.program.records import Record

ID = "record-cylinder-expired"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each cylinder, with all its rows."""
    program, ledger = computed.program, computed.ledger
    book = computed.logbook
    yield from by_cause(
        (record.cylinder.value, _finding(program, ledger, record, record.cylinder.value))
        for record, verdict in entries(book)
        if verdict.expired and record.cylinder is not None
    )


def _finding(program: Program, ledger: Ledger, record: Record, name: str) -> Finding:
    key = CYLINDER_EXPIRES(cylinder=name)
    last = figure_text(ledger, key, program.cylinders[name].expires.text)
    return Finding(
        rule=ID,
        severity=Severity.STOP,
        message=f"{row_text(program, record)}: cylinder {name} was past its last day, {last}.",
        where=record.where,
        figures=keys(ledger.get(key)),
        source=f"certificate: {program.cylinders[name].certificate.value}",
        mend="repeat the check with gas in date; this one proves nothing",
        subject=subject(program, record),
    )
