"""A lone-worker alarm that nobody but the one who lies there hears, or of which nobody says whom it reaches.

Source: common practice; a motion alarm that only sounds calls nobody.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.keys.families import MODEL_LONE_WORKER_TOTAL

ID = "alarm-not-relayed"
SEVERITIES = (Severity.WARN,)
ACCEPTABLE = True


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each model with such an alarm of which units are in use."""
    program = computed.program
    used = {unit.model.value for unit in program.units.values() if unit.in_use}
    for model in program.models.values():
        if model.lone_worker is None or model.id not in used or (model.relay is not None and model.relay.reaches):
            continue
        total = computed.ledger.get(MODEL_LONE_WORKER_TOTAL(model=model.id))
        sounds = f"its lone-worker alarm{f' sounds after {total.printed} and' if total else ''}"
        reaches = "reaches nobody but its wearer" if model.relay else "nobody says whom it reaches"
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"{model.name}: {sounds} {reaches}.",
            where=model.relay.to.where if model.relay else model.lone_worker.motionless.where,
            figures=keys(total),
            source=COMMON_PRACTICE,
            mend="relay it to somebody who acts, and say so under relay; or have nobody work alone with it",
            subject=f"model:{model.id}",
        )
