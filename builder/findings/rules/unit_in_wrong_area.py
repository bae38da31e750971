"""A unit was taken into use in an area whose sets have no place for its model.

Source: the site's own plan: what an area's hazards ask for is in its ``carry``.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.logbook.states import end_of, is_moved
from builder.program.inventory import USED_STATES
from builder.program.keys.families import AS_OF

ID = "unit-in-wrong-area"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` while it is there, a ``warn`` for what is over. Of the inventory's own area the content is refused."""
    program, day = computed.program, computed.ledger.day(AS_OF())
    for unit in program.units.values():
        stays = computed.logbook.stays[unit.id]
        for stay in stays if is_moved(stays) else ():
            if stay.state not in USED_STATES or not stay.area:
                continue
            area = program.areas[stay.area]
            if unit.model.value not in {given.value for given in area.detectors}:
                allowed = ", ".join(program.models[given.value].name for given in area.detectors)
                yield Finding(
                    rule=ID,
                    severity=Severity.STOP if stay is end_of(stays, day) else Severity.WARN,
                    message=f"{unit.id}, a {program.models[unit.model.value].name}, was issued for {area.name}, where "
                    f"another model is to be carried: {allowed}.",
                    where=stay.where,
                    source="the site's own plan",
                    mend="take it back and issue a model that the area asks for; or add the model to the area's carry",
                    subject=f"unit:{unit.id}",
                    touches=(f"unit:{unit.id}", f"area:{area.id}"),
                )
