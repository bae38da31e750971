"""A sampling hose longer than the pump can draw through.

Source: the instrument's stated longest hose.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import Quantity, magnitude
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.findings.wording import keys
from builder.program.areas import Area
from builder.program.keys.families import AREA_HOSE, MODEL_HOSE, MODEL_LONGEST_HOSE
from builder.program.models import Model, Pump

ID = "hose-too-long"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for a hose of a model or of an area."""
    program, ledger = computed.program, computed.ledger
    for model in program.models.values():
        if model.pump and model.hose:
            yield from _judge(model, model.pump, model.hose.length, None, ledger)
    for area in program.areas.values():
        for model in program.models_in(area):
            if model.pump and area.hose:
                yield from _judge(model, model.pump, area.hose, area, ledger)


def _judge(model: Model, pump: Pump, hose: Given[Quantity], area: Area | None, ledger: Ledger) -> Iterator[Finding]:
    if magnitude(hose.value, "m") <= magnitude(pump.longest_hose.value, "m"):
        return
    used = ledger.get(AREA_HOSE(area=area.id) if area else MODEL_HOSE(model=model.id))
    yield Finding(
        rule=ID,
        severity=Severity.STOP,
        message=f"{area.name if area else model.name}: the hose of {hose.text} is longer than the "
        f"{pump.longest_hose.text} through which {model.name} can draw.",
        where=hose.where,
        figures=keys(used, ledger.get(MODEL_LONGEST_HOSE(model=model.id))),
        source=f"manual: {model.manual.value}",
        mend="use a shorter hose or a stronger pump",
        subject=f"area:{area.id}" if area else f"model:{model.id}",
    )
