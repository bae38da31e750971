"""An alarm that is still silent in hazardous air: what is there when it sounds lies beyond the limit it must keep.

Compared is the value really set, with the response factor applied back. A flammable alarm that is not the first to
sound only warns. The first alarm of a toxic gas is compared with both. Source: the strictest rule of the place and
activities (rules table), or the exposure limit the alarm names.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.alarms import LimitComparison, comparisons
from builder.findings.wording import keys
from builder.program.sensors import FLAMMABLE

ID = "alarm-above-limit"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each alarm beyond a limit that was read in its source; limits of several kinds come together."""
    program, ledger = computed.program, computed.ledger
    groups: dict[tuple[Where, str, str, str], list[LimitComparison]] = {}
    for compared in comparisons(program, ledger):
        if compared.beyond:
            case = (compared.placed.alarm.value.where, compared.placed.area.id, compared.gas, compared.shown.key)
            groups.setdefault(case, []).append(compared)
    for group in groups.values():
        yield _finding(sorted(group, key=lambda compared: _severity(compared)[0].rank))


def _finding(group: list[LimitComparison]) -> Finding:
    """One finding; the limit with the gravest consequence comes first."""
    compared = group[0]
    placed = compared.placed
    severity, caveat = _severity(compared)
    silent = " (it is silent at its setpoint itself)" if compared.equal else ""
    limits = list(dict.fromkeys(one.limit.printed for one in group))
    beyond = f"the limit, {limits[0]}" if len(limits) == 1 else f"the limits, {' and '.join(limits)}"
    return Finding(
        rule=ID,
        severity=severity,
        message=f"{placed.area.name}: the {placed.called} {compared.sounds_at}{silent}, "
        f"which lies beyond {beyond}.{caveat}",
        where=placed.alarm.value.where,
        figures=keys(placed.figure, compared.shown, *(one.limit for one in group)),
        source=compared.limit.source,
        mend=f"set it {'higher' if compared.falling else 'lower'}, so that it sounds before the limit is passed",
        subject=f"area:{placed.area.id}",
    )


def _severity(compared: LimitComparison) -> tuple[Severity, str]:
    """A later flammable alarm warns: the first one has sounded by then."""
    placed = compared.placed
    if placed.channel == FLAMMABLE and placed.alarm.name != "low" and placed.entry.alarm("low") is not None:
        return Severity.WARN, ""
    if compared.proved:
        return Severity.STOP, ""
    return Severity.WARN, " This only warns: the comparison rests on a value that was not read in its source."
