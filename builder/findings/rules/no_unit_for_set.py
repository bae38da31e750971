"""An area for which no set can be put together from units that are in use.

Source: common practice, no published source: what is to be carried must be there.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.carried_coverage import carried_words
from builder.findings.wording import COMMON_PRACTICE
from builder.program.areas import Area
from builder.program.carry import CarriedSet
from builder.program.program import Program

ID = "no-unit-for-set"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` where an activity has no set that can be carried, a ``warn`` for each other set that cannot."""
    program = computed.program
    models = frozenset(unit.model.value for unit in program.units.values() if unit.in_use)
    if not program.units:
        return
    for area in program.areas.values():
        lacking = [one for one in area.carry if _missing(one, models)]
        bare = [
            given.value
            for given in area.activities
            if not any(one.serves(given.value) for one in area.carry if one not in lacking)
        ]
        for carried in lacking:
            yield _finding(program, area, carried, models, bare)


def _missing(carried: CarriedSet, models: frozenset[str]) -> list[str]:
    return [given.value for given in carried.models if given.value not in models]


def _finding(program: Program, area: Area, carried: CarriedSet, models: frozenset[str], bare: list[str]) -> Finding:
    names = " and ".join(program.models[model].name for model in _missing(carried, models))
    alone = any(carried.serves(activity) for activity in bare)
    told = "and no other set can be carried there" if alone else "so this set cannot be carried there"
    return Finding(
        rule=ID,
        severity=Severity.STOP if alone else Severity.WARN,
        message=f"{area.name}: {carried_words(program, carried)} must be carried, but no unit of {names} is in use, "
        f"{told}.",
        where=carried.where,
        source=COMMON_PRACTICE,
        mend="put a unit of that model into use, or carry what is there",
        subject=f"area:{area.id}",
    )
