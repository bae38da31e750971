"""A data log that is full, and loses readings, before it is downloaded.

Assumed is one turn of work of the site's full length on every day between two downloads. Source: arithmetic on the
instrument's stated capacity.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.rounding import plain
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import MODEL_LOG_CAPACITY, MODEL_LOG_MARGIN, SITE_SHIFT

ID = "log-overwritten"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such model."""
    program, ledger = computed.program, computed.ledger
    for model in program.models.values():
        margin = ledger.get(MODEL_LOG_MARGIN(model=model.id))
        if model.log is None or margin is None or magnitude(margin.amount, "h") >= 0:
            continue
        needed = magnitude(model.log.capacity.value, "h") - magnitude(margin.amount, "h")
        lost = "the newest readings are never kept" if model.log.stops else "the oldest are written over"
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"{model.name}: its log holds {model.log.capacity.text} but {plain(needed)} h can pass between "
            f"downloads every {model.log.download_every.value.text}, with one turn of {program.site.shift.text} each "
            f"day; {lost}.",
            where=model.log.capacity.where,
            figures=keys(margin, ledger.get(MODEL_LOG_CAPACITY(model=model.id)), ledger.get(SITE_SHIFT())),
            source=f"manual: {model.manual.value}",
            mend="download more often",
            subject=f"model:{model.id}",
        )
