"""A failed check that no later one put right, of a unit that may still be used.

A failure is cleared by a good check of the same sensor, of the same kind or one that proves more: bump test, then
calibration check, then calibration. Source: ISEA statement carried in OSHA SHIB 11-26-2024:
failed, then full calibration; failed again, out of service.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.logbook.units import Episode
from builder.findings.record_findings import first_and_count, row_text, subject
from builder.program.inventory import CHECKED_STATES, Unit
from builder.program.program import Program

ID = "failed-check-not-followed"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for a unit in use, a ``warn`` for a spare one; it points to the first failed row."""
    program = computed.program
    book = computed.logbook
    yield from first_and_count(
        _finding(program, unit, episode)
        for unit in program.units.values()
        if unit.state.value in CHECKED_STATES and unit.id in book.units
        for episode in book.units[unit.id].episodes
        if episode.cleared is None
    )


def _finding(program: Program, unit: Unit, episode: Episode) -> Finding:
    record, verdict = episode.first
    sure = verdict.sure and unit.in_use
    return Finding(
        rule=ID,
        severity=Severity.STOP if sure else Severity.WARN,
        message=f"{row_text(program, record)}: it failed, no later check put it right, "
        f"and the unit is {unit.state.value.replace('-', ' ')}.",
        where=record.where,
        source="OSHA SHIB 11-26-2024, after the ISEA statement: failed, then full calibration; else out of service",
        mend="calibrate and check it, or take the unit out of use",
        subject=subject(program, record),
    )
