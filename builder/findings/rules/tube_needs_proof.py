"""A hazard that clings to tubes, sampled through a hose: time alone does not show that it arrives.

Source: HSE safety alert CEMHD1-2020 (its detail seen through reports): first function check of a new use or a new tube
through that very tube, with the real substance where practicable.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.ledger import Ledger
from builder.findings.judged import keys
from builder.program.program import Program

ID = "tube-needs-proof"


def rule(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A ``note`` for each such hazard of an area."""
    for area in program.areas.values():
        pumped = [model for model in program.models_in(area) if model.pump and model.hose]
        if not pumped or not (area.hose or area.depth):
            continue
        waits = [ledger.get(f"hose.{area.id}.{model.id}.wait") for model in pumped]
        for hazard in area.hazards:
            gas = program.gases[hazard.gas.value]
            if gas.clings:
                yield Finding(
                    rule=ID,
                    severity=Severity.NOTE,
                    message=f"{area.name}: {gas.name} clings to the sampling tube, so no computed wait shows that it "
                    f"arrives; a new tube or a new use is proved with the real substance through that tube first.",
                    where=hazard.gas.where,
                    figures=keys(*waits),
                    source="HSE safety alert CEMHD1-2020, its detail as reported",
                    mend="do that function check and record it; keep the tube short; wait until the reading is steady",
                    subject=f"area:{area.id}",
                )
