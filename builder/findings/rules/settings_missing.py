"""A unit in use of which no settings were read back, where the site does read settings back.

Source: common practice; only the instrument's own settings prove that card and instrument agree.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.ledger import Ledger
from builder.findings.judged import COMMON_PRACTICE
from builder.findings.rows import bounded
from builder.program.inventory import Unit
from builder.program.program import Program

ID = "settings-missing"


def rule(program: Program, ledger: Ledger) -> Iterator[Finding]:  # noqa: ARG001 - one form for all rules
    """A ``note`` for each unit."""
    read = {setting.unit.value for setting in program.settings}
    if read:
        yield from bounded(
            _finding(unit) for unit in program.units.values() if unit.state.value == "in-use" and unit.id not in read
        )


def _finding(unit: Unit) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.NOTE,
        message=f"Unit {unit.id} is in use, but its settings were not read back.",
        where=unit.where,
        source=COMMON_PRACTICE,
        mend="read its settings and add the export to readback/",
        subject=f"unit:{unit.id}",
    )
