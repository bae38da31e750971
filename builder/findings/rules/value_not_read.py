"""A setpoint or its limit that rests on a value nobody read in its source.

Such a value never decides a ``stop``, so a comparison with it proves less than it seems. Source: the reading state of
each table.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.findings.alarms import SETPOINTS, PlacedAlarm, area_references, comparisons, placed_alarms
from builder.findings.wording import count_in_words, keys

ID = "value-not-read"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each alarm and value, once for all areas in which it is the same."""
    program, ledger = computed.program, computed.ledger
    used = [(placed.figure, placed) for placed in placed_alarms(program, ledger)]
    for compared in comparisons(program, ledger):
        used += [(figure, compared.placed) for figure in (compared.shown, compared.limit)]
    groups: dict[tuple[Where, str, str], list[tuple[Figure, PlacedAlarm]]] = {}
    for figure, placed in used:
        if not figure.read:
            case = (placed.alarm.value.where, figure.printed, figure.source)
            groups.setdefault(case, []).append((figure, placed))
    for group in groups.values():
        yield _finding([figure for figure, _ in group], [placed for _, placed in group])


def _finding(figures: list[Figure], group: list[PlacedAlarm]) -> Finding:
    first, alarm = figures[0], group[0].alarm
    unread = [part.label for part in first.inputs if not part.read]
    others = len({placed.area.id for placed in group}) - 1
    same = f"; the same holds in {count_in_words(others, 'more area')}" if others else ""
    return Finding(
        rule=ID,
        severity=Severity.NOTE,
        message=f"{first.label} ({first.printed}) rests on a value that was not read in its source"
        + (f": {'; '.join(unread)}{same}." if unread else f"{same}."),
        where=(alarm.protects or alarm.value).where,
        figures=keys(*figures),
        source=first.source,
        mend="read the value in its source and mark it so in the table",
        subject=SETPOINTS,
        touches=area_references(group),
    )
