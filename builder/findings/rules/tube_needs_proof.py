"""Hazards that cling to tubes, sampled through a hose: time alone does not show that they arrive.

Source: HSE safety alert CEMHD1-2020 (its detail seen through reports): first function check of a new use or a new tube
through that very tube, with the real substance where practicable.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import keys, short_list
from builder.program.keys.families import HOSE_WAIT

ID = "tube-needs-proof"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each area with such hazards."""
    program, ledger = computed.program, computed.ledger
    for area in program.areas.values():
        pumped = [model for model in program.models_in(area) if model.pump and model.hose]
        if not pumped or not (area.hose or area.depth):
            continue
        waits = [ledger.get(HOSE_WAIT(area=area.id, model=model.id)) for model in pumped]
        clinging = [hazard.gas for hazard in area.hazards if program.gases[hazard.gas.value].clings]
        if clinging:
            yield Finding(
                rule=ID,
                severity=Severity.NOTE,
                message=f"{area.name}: what clings to the sampling tube is not shown to arrive by any computed wait "
                f"({short_list([program.gases[gas.value].name for gas in clinging])}); "
                f"a new tube or a new use is proved "
                f"with the real substance through that tube first.",
                where=clinging[0].where,
                figures=keys(*waits),
                source="HSE safety alert CEMHD1-2020, its detail as reported",
                mend="do that function check and record it; keep the tube short; wait until the reading is steady",
                subject=f"area:{area.id}",
                touches=tuple(f"gas:{gas.value}" for gas in clinging),
            )
