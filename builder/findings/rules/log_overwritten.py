"""A data log that is full, and overwrites itself, before it is downloaded.

Assumed is one turn of work of the site's full length on every day between two downloads; a month counts as 31 days
and a year as 366. Source: arithmetic on the instrument's stated capacity.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.rounding import plain
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.interval import Interval
from builder.program.keys.families import MODEL_LOG_CAPACITY, SITE_SHIFT

ID = "log-overwritten"
SEVERITIES = (Severity.WARN,)


DAYS = {"day": 1, "week": 7, "month": 31, "year": 366}
"""The most days an interval can have."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such model."""
    program, ledger = computed.program, computed.ledger
    shift = magnitude(program.site.shift.value, "h")
    for model in program.models.values():
        if model.log is None:
            continue
        needed = days_in(model.log.download_every.value) * shift
        if magnitude(model.log.capacity.value, "h") < needed:
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{model.name}: its log holds {model.log.capacity.text} but {plain(needed)} h can pass between "
                f"downloads every {model.log.download_every.value.text}, with one turn of "
                f"{program.site.shift.text} each day.",
                where=model.log.capacity.where,
                figures=keys(ledger.get(MODEL_LOG_CAPACITY(model=model.id)), ledger.get(SITE_SHIFT())),
                source=f"manual: {model.manual.value}",
                mend="download more often",
                subject=f"model:{model.id}",
            )


def days_in(interval: Interval) -> int:
    """The most days between two downloads."""
    return interval.count * DAYS[interval.unit]
