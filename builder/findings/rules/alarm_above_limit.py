"""An alarm that is still silent in hazardous air: what is there when it sounds lies beyond the limit it must keep.

Compared is the value really set, with the response factor applied back. A flammable alarm that is not the first to
sound only warns. The first alarm of a toxic gas is compared with both. Source: the strictest rule of the place and
activities (rules table), or the exposure limit the alarm names.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.alarms import LimitComparison, area_references, comparisons, places
from builder.findings.wording import keys
from builder.program.sensors import FLAMMABLE

ID = "alarm-above-limit"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each alarm beyond a limit that was read in its source; limits and areas come together."""
    program, ledger = computed.program, computed.ledger
    groups: dict[tuple[Where, str, str, str], list[LimitComparison]] = {}
    for compared in comparisons(program, ledger):
        if compared.beyond:
            case = (compared.placed.alarm.value.where, compared.placed.area.id, compared.gas, compared.shown.key)
            groups.setdefault(case, []).append(compared)
    alike: dict[tuple[Where, str], list[list[LimitComparison]]] = {}
    for group in groups.values():
        ordered = sorted(group, key=lambda compared: _severity(compared)[0].rank)
        alike.setdefault((ordered[0].placed.alarm.value.where, _told(ordered)), []).append(ordered)
    for same in alike.values():
        yield _finding(same)


def _told(group: list[LimitComparison]) -> str:
    """What is wrong with one alarm in one area, but for the area's name; the gravest limit comes first."""
    compared = group[0]
    silent = " (it is silent at its setpoint itself)" if compared.equal else ""
    limits = list(dict.fromkeys(one.limit.printed for one in group))
    beyond = f"the limit, {limits[0]}" if len(limits) == 1 else f"the limits, {' and '.join(limits)}"
    caveat = _severity(compared)[1]
    return f"the {compared.placed.called} {compared.sounds_at}{silent}, which lies beyond {beyond}.{caveat}"


def _finding(same: list[list[LimitComparison]]) -> Finding:
    """One finding for all areas in which the same alarm is wrong in the same way."""
    compared = same[0][0]
    firsts = [group[0] for group in same]
    return Finding(
        rule=ID,
        severity=_severity(compared)[0],
        message=f"{places(firsts)}: {_told(same[0])}",
        where=compared.placed.alarm.value.where,
        figures=keys(*(f for group in same for one in group for f in (one.placed.figure, one.shown, one.limit))),
        source=compared.limit.source,
        mend=f"set it {'higher' if compared.falling else 'lower'}, so that it sounds before the limit is passed",
        subject=f"area:{compared.placed.area.id}",
        touches=area_references(firsts) if len(same) > 1 else (),
    )


def _severity(compared: LimitComparison) -> tuple[Severity, str]:
    """A later flammable alarm warns: the first one has sounded by then."""
    placed = compared.placed
    if placed.channel == FLAMMABLE and placed.alarm.name != "low" and placed.entry.alarm("low") is not None:
        return Severity.WARN, ""
    if compared.proved:
        return Severity.STOP, ""
    return Severity.WARN, " This only warns: the comparison rests on a value that was not read in its source."
