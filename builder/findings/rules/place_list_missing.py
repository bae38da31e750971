"""A place whose own exposure limits are not among the lists in use: not chosen, or not shipped at all.

Source: the tables of places and of lists of limits.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.reference.rules import Place, place

ID = "place-list-missing"
SEVERITIES = (Severity.STOP, Severity.NOTE)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` where the place's list ships and is not chosen; a ``note`` where none ships and none was brought."""
    program = computed.program
    chosen = program.site.basis.limits
    named = {program.site.place.value: program.site.place}
    for area in program.areas.values():
        if area.place is not None:
            named.setdefault(area.place.value, area.place)
    for given in named.values():
        here = place(given.value)
        lacking = [name for name in here.lists if name not in program.limit_lists]
        if lacking:
            lists = " and ".join(program.library.limit_list(name).name for name in lacking)
            found = f"its own list, {lists}, is not among the lists of the site"
            yield _finding(here, chosen[0], Severity.STOP, found, f"choose {', '.join(lacking)} in basis.limits")
        elif not here.lists and not program.library.own:
            found = "no list of its own ships, so alarms are held against other lists alone"
            yield _finding(here, given, Severity.NOTE, found, "bring the place's list (lists/*.yaml) and choose it")


def _finding(here: Place, given: Given[str], severity: Severity, found: str, mend: str) -> Finding:
    return Finding(
        rule=ID,
        severity=severity,
        message=f"Exposure limits of {here.name}: {found}.",
        where=given.where,
        source="table of places: " + here.note,
        mend=mend,
        subject="page:program",
    )
