"""A hazard of an area that no allowed detector sees.

An inert gas (nitrogen, argon, helium) counts as seen where oxygen is measured; a gas to which a sensor is said to be
blind does not count. Source: the site's own hazards and sensors; 29 CFR 1910.146 (c)(5) and (d)(5) ask for tests of
the hazards expected.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.sensor_coverage import seers

ID = "hazard-unseen"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each such hazard."""
    program = computed.program
    for area in program.areas.values():
        for hazard in area.hazards:
            if not seers(program, area, hazard.gas.value):
                yield Finding(
                    rule=ID,
                    severity=Severity.STOP,
                    message=f"{area.name}: no detector allowed there sees {program.gases[hazard.gas.value].name}.",
                    where=hazard.gas.where,
                    source="29 CFR 1910.146 (c)(5) and (d)(5): test for the hazards that are expected",
                    mend="allow a detector that sees it, or give the factor of a sensor that does",
                    subject=f"area:{area.id}",
                )
