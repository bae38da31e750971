"""Use of a unit between a failed check and the check that cleared it.

Source: ISEA statement carried in OSHA SHIB 11-26-2024; a unit that failed is not used until it was calibrated.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.figures.logbook.units import Episode
from builder.findings.record_findings import WORDS, first_and_count, subject
from builder.program.program import Program
from builder.program.records import Record

ID = "used-while-failed"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each use."""
    yield from first_and_count(
        _finding(computed.program, episode, use)
        for log in computed.logbook.units.values()
        for episode in log.episodes
        for use in episode.uses
    )


def _finding(program: Program, episode: Episode, use: Record) -> Finding:
    failed, verdict = episode.first
    cleared = f"cleared on {day_text(episode.cleared.day)}" if episode.cleared else "not cleared since"
    return Finding(
        rule=ID,
        severity=Severity.STOP if verdict.sure else Severity.WARN,
        message=f"{use.unit.value} was used on {day_text(use.day)}, but its {WORDS[failed.kind.value]} had failed on "
        f"{day_text(failed.day)} ({failed.where}), {cleared}.",
        where=use.where,
        source="OSHA SHIB 11-26-2024, after the ISEA statement: a unit that failed is out of service until calibrated",
        mend="find out what was entered with it that day, and why a failed unit was issued",
        subject=subject(program, use),
    )
