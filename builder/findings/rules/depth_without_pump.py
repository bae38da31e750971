"""An area that is sampled from above or through a hose, while no detector allowed there has a pump.

Source: common practice; 29 CFR 1910.146 Appendix B (4) on layered air.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import AREA_DEPTH, AREA_HOSE

ID = "depth-without-pump"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such area."""
    program, ledger = computed.program, computed.ledger
    for area in program.areas.values():
        given = area.depth or area.hose
        if given is None or any(model.pump for model in program.models_in(area)):
            continue
        what = f"it is sampled {given.text} down" if area.depth else f"a hose of {given.text} is used"
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"{area.name}: {what}, but no detector allowed there has a pump.",
            where=given.where,
            figures=keys(ledger.get(AREA_DEPTH(area=area.id)), ledger.get(AREA_HOSE(area=area.id))),
            source="29 CFR 1910.146 Appendix B (4)",
            mend="allow a detector with a pump",
            subject=f"area:{area.id}",
        )
