"""A battery that does not last the longest turn of work.

Where its runtime in the cold is stated, that of the coldest place it is used in counts. Source: the instrument's stated
runtime and the site's shift.
"""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import MODEL_RUNTIME, MODEL_RUNTIME_COLD, MODEL_RUNTIME_INSTEAD, SITE_SHIFT
from builder.program.models import Model

ID = "runtime-short"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such model."""
    program, ledger = computed.program, computed.ledger
    shift = program.site.shift
    for model in program.models.values():
        cold = ledger.get(MODEL_RUNTIME_COLD(model=model.id))
        hours = cold.exact if cold and isinstance(cold.exact, Fraction) else magnitude(model.runtime.value, "h")
        yield from _instead(computed, model)
        if hours < magnitude(shift.value, "h"):
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{model.name}: its battery lasts {cold.printed if cold else model.runtime.text}, "
                f"the longest turn of work is {shift.text}.",
                where=model.runtime.where,
                figures=keys(cold, ledger.get(MODEL_RUNTIME(model=model.id)), ledger.get(SITE_SHIFT())),
                source=f"manual: {model.manual.value}",
                mend="plan a change of unit within the shift, or use a model that lasts",
                subject=f"model:{model.id}",
            )


def _instead(computed: Computed, model: Model) -> Iterator[Finding]:
    """The same for the cells that are taken instead of its own."""
    shift = computed.program.site.shift
    for cells in model.cells:
        if cells.runtime is not None and magnitude(cells.runtime.value, "h") < magnitude(shift.value, "h"):
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{model.name}: on {cells.kind.value} cells it lasts {cells.runtime.text}, the longest turn of "
                f"work is {shift.text}.",
                where=cells.runtime.where,
                figures=keys(
                    computed.ledger.get(MODEL_RUNTIME_INSTEAD(model=model.id)), computed.ledger.get(SITE_SHIFT())
                ),
                source=f"manual: {model.manual.value}",
                mend="change the cells within the shift where that is allowed, or keep to its own battery",
                subject=f"model:{model.id}",
            )
