"""A hose that does not reach the bottom of the space that is sampled through it.

What lies at the bottom is heavier than air and is what kills. Source: 29 CFR 1910.146 Appendix B (4): the air is
tested over the whole depth, in the direction of travel and to each side.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.findings.wording import keys
from builder.program.areas import Area
from builder.program.keys.families import AREA_DEPTH, AREA_HOSE, MODEL_HOSE
from builder.program.models import Model

ID = "hose-too-short"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each model with a pump whose hose is shorter than the space is deep."""
    program, ledger = computed.program, computed.ledger
    for area in program.areas.values():
        for model in program.models_in(area):
            if model.pump:
                yield from _judge(area, model, ledger)


def _judge(area: Area, model: Model, ledger: Ledger) -> Iterator[Finding]:
    hose = area.hose or (model.hose.length if model.hose else None)
    if area.depth is None or (hose and magnitude(hose.value, "m") >= magnitude(area.depth.value, "m")):
        return
    told = f"the hose of {hose.text}" if hose else f"{model.name} has a pump but no hose is named, so it"
    yield Finding(
        rule=ID,
        severity=Severity.STOP,
        message=f"{area.name}: {told} does not reach the bottom of the space, {area.depth.text} down.",
        where=(area.hose or area.depth).where,
        figures=keys(
            ledger.get(AREA_DEPTH(area=area.id)),
            ledger.get(AREA_HOSE(area=area.id) if area.hose else MODEL_HOSE(model=model.id)),
        ),
        source="29 CFR 1910.146 Appendix B (4)",
        mend="use a hose at least as long as the space is deep, and one through which the pump can draw",
        subject=f"area:{area.id}",
    )
