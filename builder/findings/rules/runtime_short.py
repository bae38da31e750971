"""A battery that does not last the longest turn of work.

Where its runtime in the cold is stated, that of the coldest place it is used in counts. Source: the instrument's stated
runtime and the site's shift.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import MODEL_RUNTIME, MODEL_RUNTIME_COLD, SITE_SHIFT

ID = "runtime-short"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such model."""
    program, ledger = computed.program, computed.ledger
    shift = program.site.shift
    for model in program.models.values():
        cold = ledger.get(MODEL_RUNTIME_COLD(model=model.id))
        hours = cold.exact if cold and isinstance(cold.exact, Fraction) else magnitude(model.runtime.value, "h")
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
