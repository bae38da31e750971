"""Lone-worker timers that together run longer than the area allows before help is called.

Source: the time the site states for the area.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import AREA_RESCUE_WITHIN, MODEL_KNOWN_AFTER, MODEL_LONE_WORKER_TOTAL

ID = "lone-worker-too-long"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each area and model."""
    program, ledger = computed.program, computed.ledger
    for area in program.areas.values():
        for model in program.models_in(area) if area.rescue_within else ():
            if model.lone_worker is None or area.rescue_within is None:
                continue
            known = ledger.get(MODEL_KNOWN_AFTER(model=model.id))
            last = known or ledger.get(MODEL_LONE_WORKER_TOTAL(model=model.id))
            if last is None or magnitude(last.amount, "s") <= magnitude(area.rescue_within.value, "s"):
                continue
            told = "with relay and answer its alarm is known" if known else "it sounds its full lone-worker alarm"
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{area.name}, {model.name}: {told} after {last.printed}, but help must be called within "
                f"{area.rescue_within.text}.",
                where=area.rescue_within.where,
                figures=keys(last, ledger.get(AREA_RESCUE_WITHIN(area=area.id))),
                source="time the site states for the area",
                mend="shorten the timers, or do not work there alone",
                subject=f"area:{area.id}",
            )
