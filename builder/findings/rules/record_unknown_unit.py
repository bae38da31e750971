"""A record, a movement, or a setting read back, of a unit that the inventory does not have.

Source: common practice; a record that belongs to nothing proves nothing.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.findings.record_findings import by_cause
from builder.findings.wording import COMMON_PRACTICE

ID = "record-unknown-unit"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such unit, with all its rows."""
    program = computed.program
    records = (record.given(record.unit) for record in computed.logbook.strangers)
    settings = (setting.unit for setting in program.settings if setting.unit.value not in program.units)
    movements = (row.unit for row in program.movements if row.unit.value not in program.units)
    yield from by_cause((unit.value, _finding(unit)) for units in (records, settings, movements) for unit in units)


def _finding(unit: Given[str]) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"A row names unit {unit.value}, which the inventory does not have.",
        where=unit.where,
        source=COMMON_PRACTICE,
        mend="mend the id, or enter the unit in the inventory, as retired if it is gone",
        subject="page:checks",
    )
