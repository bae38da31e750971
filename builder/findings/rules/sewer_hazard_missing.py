"""A sewer that people enter, without one of the gases that whoever goes in is to be warned of.

Source: 29 CFR 1910.146, appendix E (2), not mandatory: the detector warns of oxygen, flammable gas, hydrogen sulfide
and carbon monoxide. What is no hazard of an area is held against no limit there.
"""

from collections.abc import Iterator
from typing import Final

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.program.areas import OXYGEN_GAS, Area
from builder.program.keys.families import GAS_LEL

ID = "sewer-hazard-missing"
SEVERITIES = (Severity.WARN,)
ACCEPTABLE: Final = True
BY_GAS = {OXYGEN_GAS: "oxygen", "hydrogen-sulfide": "hydrogen sulfide", "carbon-monoxide": "carbon monoxide"}


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such area."""
    for area in computed.program.areas.values():
        lacking = list(_lacking(computed.ledger, area)) if "sewer-entry" in area.doing else []
        if lacking:
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{area.name}: it is a sewer, but {' and '.join(lacking)} is not among its hazards. "
                "No alarm and no card is judged for it.",
                where=area.where,
                source="29 CFR 1910.146, appendix E (2), not mandatory",
                mend="name it as a hazard, or say by name why it cannot be there",
                subject=f"area:{area.id}",
            )


def _lacking(ledger: Ledger, area: Area) -> Iterator[str]:
    for gas, called in BY_GAS.items():
        if area.hazard(gas) is None:
            yield called
    if not any(ledger.get(GAS_LEL(gas=hazard.gas.value)) for hazard in area.hazards):
        yield "a flammable gas"
