"""An alarm set exactly at its limit: by the instrument's error and its response time it can sound too late.

Source: common practice; an alarm set at the legal value does not protect it.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.alarms import SETPOINTS, LimitComparison, area_references, comparisons, places
from builder.findings.wording import COMMON_PRACTICE, keys

ID = "alarm-at-limit"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each alarm equal to its limit and not beyond it, once for all areas in which it is the same."""
    program, ledger = computed.program, computed.ledger
    groups: dict[tuple[Where, str], list[LimitComparison]] = {}
    every = list(comparisons(program, ledger))
    beyond = {compared.placed.figure.key for compared in every if compared.beyond}  # told by alarm-above-limit
    for compared in every:
        if compared.equal and compared.placed.figure.key not in beyond:
            case = (compared.placed.alarm.value.where, compared.sounds_at)
            groups.setdefault(case, []).append(compared)
    for (where, sounds_at), group in groups.items():
        limit = " and ".join(dict.fromkeys(compared.limit.printed for compared in group))
        placed, way = group[0].placed, "higher" if group[0].falling else "lower"
        yield Finding(
            rule=ID,
            severity=Severity.NOTE,
            message=f"{places(group)}: the {placed.called} {sounds_at}, exactly at the limit, {limit}: by the "
            f"instrument's error and its response time it can sound too late.",
            where=where,
            figures=keys(*(figure for one in group for figure in (one.placed.figure, one.shown, one.limit))),
            source=COMMON_PRACTICE,
            mend=f"set it {way} by the instrument's error, or state why not",
            subject=SETPOINTS,
            touches=area_references(group),
        )
