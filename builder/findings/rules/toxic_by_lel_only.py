"""A toxic hazard that a set shows only as a share of the explosive limit, with a first alarm that comes too late.

A few percent of an explosive limit are hundreds of parts per million. The first alarm is taken back through the
response factor and compared with every limit of the lists the site chose. Source: those lists; that an explosive-limit
reading is no toxic measurement is common practice, no source.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.carried_coverage import ACUTE, carried_words, kind_of, weightiest
from builder.findings.seen_table import SeenRow, seen_everywhere
from builder.findings.wording import keys, severity_allowed
from builder.program.program import Program

ID = "toxic-by-lel-only"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """One an area and gas: a ``stop`` beyond a limit of minutes or what endangers life, else a ``warn``."""
    program = computed.program
    groups: dict[tuple[str, str], list[SeenRow]] = {}
    for row in seen_everywhere(program, computed.ledger):
        if row.seen.only_by_lel and row.passed:
            groups.setdefault((row.seen.area.id, row.seen.gas), []).append(row)
    for group in groups.values():
        yield _finding(program, group)


def _finding(program: Program, group: list[SeenRow]) -> Finding:
    row = group[0]
    seen, passed, first = row.seen, row.passed, row.alarms[0]
    worst = weightiest(passed)
    weighed = Severity.STOP if kind_of(worst) in ACUTE else Severity.WARN
    severity, caveat = severity_allowed(weighed, first.there, worst)
    gas = program.gases[seen.gas].name
    carried = " or with ".join(carried_words(program, one.seen.carried) for one in group)
    named = "; ".join(f"{limit.label} {limit.printed}" for limit in passed)
    return Finding(
        rule=ID,
        severity=severity,
        message=f"{seen.area.name}: with {carried} {gas} shows only as a share of its explosive "
        f"limit. When the first alarm sounds at {first.set_to.printed}, {first.there.printed} of it are there, "
        f"beyond: {named}.{caveat}",
        where=seen.hazard.gas.where,
        figures=keys(first.there, *passed),
        source=worst.source,
        mend=f"carry a detector that shows {gas} in ppm as well",
        subject=f"area:{seen.area.id}",
    )
