"""A record by someone who is not in the register, may not make that kind, or was not authorised on that day.

Only where the site keeps its register here; a use without a name is not judged. Source: the site's own register; 30 CFR
250.490(j)(6)(i) asks for testers trained on the equipment.
"""

from collections.abc import Iterator, Mapping

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.findings.record_findings import WORDS, by_cause, row_text, subject
from builder.program.program import Program
from builder.program.records import Person, Record

ID = "record-not-authorised"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each person and reason, with all rows."""
    program = computed.program
    people = program.people
    if people is None:
        return
    judged = ((record, _fault(record, people)) for record in program.records)
    yield from by_cause((fault, _finding(program, record, fault)) for record, fault in judged if fault)


def _fault(record: Record, people: Mapping[str, Person]) -> str:
    if record.by is None:
        return "" if record.kind.value == "use" else "it does not say who made it"
    person = people.get(record.by.value)
    if person is None:
        return f"{record.by.value} is not in the register"
    if all(kind.value != record.kind.value for kind in person.kinds):
        return f"{person.id} may not make a record of kind {WORDS[record.kind.value]}"
    if record.day < person.start.value:
        return f"{person.id} was authorised only from {day_text(person.start.value)}"
    return (
        f"{person.id} was authorised only until {day_text(person.until.value)}"
        if record.day > person.until.value
        else ""
    )


def _finding(program: Program, record: Record, fault: str) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{row_text(program, record)}: {fault}.",
        where=record.where,
        source="the site's own register; 30 CFR 250.490(j)(6)(i) on trained testers",
        mend="repeat the check by someone authorised, or bring the register up to date",
        subject=subject(program, record),
    )
