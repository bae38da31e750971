"""A hazard of an area that one of the sets carried there does not see, though another detector allowed there does.

Where no detector at all sees it, ``hazard-unseen`` tells. Source: 29 CFR 1910.146 (c)(5) and (d)(5), which ask for
tests of the hazards expected.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.carried_coverage import SeenHazard, carried_words, seen_hazards
from builder.findings.sensor_coverage import seers
from builder.program.areas import ENTERED
from builder.program.program import Program

ID = "set-sees-less"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` in a confined space, a ``warn`` elsewhere; one for each set, with all that it does not see."""
    program = computed.program
    groups: dict[tuple[str, str], list[SeenHazard]] = {}
    for seen in seen_hazards(program):
        if not seen.fitted and seers(program, seen.area, seen.gas):
            groups.setdefault((seen.area.id, seen.carried.id), []).append(seen)
    for group in groups.values():
        yield _finding(program, group)


def _finding(program: Program, group: list[SeenHazard]) -> Finding:
    area, carried = group[0].area, group[0].carried
    entered = any(given.value in ENTERED and carried.serves(given.value) for given in area.activities)
    unseen = " and ".join(program.gases[seen.gas].name for seen in group)
    return Finding(
        rule=ID,
        severity=Severity.STOP if entered else Severity.WARN,
        message=f"{area.name}: whoever carries only {carried_words(program, carried)} does not see {unseen}.",
        where=carried.where,
        source="29 CFR 1910.146 (c)(5) and (d)(5): test for the hazards that are expected",
        mend="carry what sees it as well: write both in one list under carry",
        subject=f"area:{area.id}",
    )
