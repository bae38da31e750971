"""A part that wears, as a model of units in use states, which no check of the plan looks after.

Source: the model's own statement of how long the part lasts.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import short_list
from builder.program.inventory import CHECKED_STATES
from builder.program.models import Model

ID = "part-without-check"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each part, once for all models."""
    program = computed.program
    looked_after = {check.part.value for check in program.checks.values() if check.part}
    used = {unit.model.value for unit in program.units.values() if unit.state.value in CHECKED_STATES}
    groups: dict[str, list[Model]] = {}
    for model in program.models.values():
        for part in model.parts:
            if model.id in used and part not in looked_after:
                groups.setdefault(part, []).append(model)
    for part, models in groups.items():
        stated = models[0].parts[part]
        yield Finding(
            rule=ID,
            severity=Severity.NOTE,
            message=f"No check of the plan asks for the {part.replace('-', ' ')}, which lasts {stated.text} in "
            f"{short_list([model.name for model in models])}, so nothing tells when it is due.",
            where=stated.where,
            source=models[0].manual.value,
            mend=f"add a check of kind replacement, or inspection, with part: {part}",
            subject="page:checks",
            touches=tuple(f"model:{model.id}" for model in models),
        )
