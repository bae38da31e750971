"""A flammable vapour that, over its liquid in still air, stays below the first alarm: the alarm will not tell of it.

Silence of that alarm is then no proof that the vapour is absent, and its toxic limit lies far lower. Source: vapour
pressure of the liquid at the area's temperature, Dalton's law.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import AREA_REACHABLE_LEL, GAS_REACHABLE_LEL, SETPOINT_TRUE

ID = "cannot-reach-lel"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each such hazard."""
    program, ledger = computed.program, computed.ledger
    for area in program.areas.values():
        for hazard in area.hazards:
            gas = hazard.gas.value
            reached = ledger.get(AREA_REACHABLE_LEL(area=area.id, gas=gas))
            if reached is None and area.temperature is None:
                reached = ledger.get(GAS_REACHABLE_LEL(gas=gas))
            low = ledger.get(SETPOINT_TRUE(area=area.id, gas=gas, alarm="low"))
            if reached is None or low is None or reached.amount >= low.amount:
                continue
            name = program.gases[gas].name
            yield Finding(
                rule=ID,
                severity=Severity.NOTE,
                message=f"{area.name}: {name} can reach only {reached.printed} there in still air, and the first alarm "
                f"of flammable gas sounds at {low.printed} of it; that alarm says nothing about {name}.",
                where=hazard.gas.where,
                figures=keys(reached, low),
                source=reached.source,
                mend="measure it as a toxic vapour there; warm surfaces, mist and hot lines can still make it burn",
                subject=f"area:{area.id}",
            )
