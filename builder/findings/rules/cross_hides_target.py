"""A gas that pulls down the reading of a sensor whose own gas is a hazard in the same area: the alarm can stay silent.

Source: the cross-sensitivity the site states for the sensor.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.cross_sensitivity import crossings
from builder.findings.wording import keys

ID = "cross-hides-target"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each area, sensor and gas."""
    program, ledger = computed.program, computed.ledger
    for found in crossings(program, ledger):
        target = found.area.hazard(found.sensor.shows.value)
        if found.share >= 0 or target is None or found.sensor.cross is None:
            continue
        gases = program.gases
        moved = f", here by {found.apparent.printed}" if found.apparent else ""
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"{found.area.name}: {gases[found.hazard.gas.value].name} lowers the reading of "
            f"{found.sensor.name} ({found.coefficient.printed} of it{moved}) and can hide "
            f"{gases[target.gas.value].name}, which is a hazard there too.",
            where=found.hazard.gas.where,
            figures=keys(*found.figures()),
            source=found.sensor.cross.source.value,
            mend="measure the disturbing gas too, set the alarm of the hidden one lower, or use another sensor there",
            subject=f"area:{found.area.id}",
        )
