"""An alarm naming a limit that is the law of another place than the one its area lies in.

Construction, shipyards and general industry have numbers and kinds of their own for one gas. Source: the tables of
places and of lists of limits; 29 CFR 1910.1000, 1915.1000 and 1926.55.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.findings.alarms import PlacedAlarm, area_references, placed_alarms, places, protected_gas
from builder.findings.wording import keys
from builder.program.keys.families import AS_OF
from builder.program.program import Program
from builder.reference.limits import KINDS_BY_ID
from builder.reference.rules import law_elsewhere, place

ID = "limit-of-another-place"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` where a list of the area's own place has a limit of that gas, else a ``warn``; once for all areas."""
    program, ledger = computed.program, computed.ledger
    groups: dict[tuple[Given[str], str], list[PlacedAlarm]] = {}
    for placed in placed_alarms(program, ledger):
        protects, here = placed.alarm.protects, program.place_of(placed.area).value
        if protects is not None and protects.value.partition(".")[0] in law_elsewhere(here):
            groups.setdefault((protects, here), []).append(placed)
    for (protects, here), group in groups.items():
        yield _finding(program, ledger, protects, here, group)


def _finding(program: Program, ledger: Ledger, protects: Given[str], here: str, group: list[PlacedAlarm]) -> Finding:
    own = _own_limits(program, ledger, here, protected_gas(group[0]))
    named = program.library.limit_list(protects.value.partition(".")[0]).name
    instead = f"; its own has {', '.join(own)}" if own else ", whose own list does not ship or has no limit of that gas"
    return Finding(
        rule=ID,
        severity=Severity.STOP if own else Severity.WARN,
        message=f"{places(group)}: the {group[0].called} protects {protects.value}, a limit of {named}, which is "
        f"not the law of {place(here).name}{instead}.",
        where=protects.where,
        figures=keys(*(placed.figure for placed in group)),
        source="tables of places and of lists of limits",
        mend="name a limit of the place's own list, or a recommendation, or bring the place's list (lists/*.yaml)",
        subject=f"area:{group[0].area.id}",
        touches=area_references(group),
    )


def _own_limits(program: Program, ledger: Ledger, here: str, gas: str) -> list[str]:
    """Limits to work to that the place's own lists have of a gas, in words."""
    day, entry = ledger.day(AS_OF()), program.gases[gas].entry.id
    return [
        f"{program.library.limit_list(name).called(kind)} {value.text} {value.unit}"
        for name in place(here).lists
        for kind, value in program.library.limits(entry, name, day).items()
        if KINDS_BY_ID[kind].to_work_to
    ]
