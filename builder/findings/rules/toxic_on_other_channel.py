"""A toxic hazard that shows on the channel of another gas, with a first alarm that comes after its own limits.

The number on the display is that of the other gas. It is taken through the response factor and compared with the
limits of the hazard itself; where its lists have none, nothing shows that the alarm protects anybody. Source: the
lists of exposure limits that the site chose.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.carried_coverage import ACUTE, kind_of, weightiest
from builder.findings.seen_table import SeenRow, Shows, seen_everywhere
from builder.findings.wording import keys, severity_allowed
from builder.program.program import Program

ID = "toxic-on-other-channel"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` beyond a short-term limit or the value dangerous to life, else a ``warn``; one an area and gas."""
    told: dict[tuple[str, str], None] = {}
    for row in seen_everywhere(computed.program, computed.ledger):
        case = (row.seen.area.id, row.seen.gas)
        indirect = row.shows in (Shows.VAPOUR, Shows.OTHER) and row.seen.gas not in row.seen.channels
        if case not in told and indirect and row.alarms and (row.passed or not row.limits):
            told[case] = None
            yield _finding(computed.program, row)


def _finding(program: Program, row: SeenRow) -> Finding:
    gas, passed, first = program.gases[row.seen.gas].name, row.passed, row.alarms[0]
    worst = weightiest(passed) if passed else None
    weighed = Severity.STOP if worst is not None and kind_of(worst) in ACUTE else Severity.WARN
    severity, caveat = severity_allowed(weighed, first.there, worst)
    beyond = "; ".join(f"{limit.label} {limit.printed}" for limit in passed)
    told = f"beyond: {beyond}" if passed else "and the lists of this site have no limit to compare it with"
    return Finding(
        rule=ID,
        severity=severity,
        message=f"{row.seen.area.name}: {gas} shows only on a channel meant for another gas. When its first alarm "
        f"sounds at {first.set_to.printed}, {first.there.printed} of {gas} are there, {told}.{caveat}",
        where=row.seen.hazard.gas.where,
        figures=keys(first.set_to, first.there, *passed),
        source=worst.source if worst is not None else "the lists of exposure limits that the site chose",
        mend=f"set the first alarm low enough for {gas} too, or carry a detector with a sensor of its own for it",
        subject=f"area:{row.seen.area.id}",
    )
