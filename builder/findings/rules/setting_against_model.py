"""The site wants a setting that the description of the model has otherwise: one of the two is wrong.

Compared are latching, the time an alarm waits, the base of averages, the log interval and the relay. Source: common
practice, no published source; the description is taken from the manual.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.findings.settings import model_says, same_setting
from builder.findings.wording import COMMON_PRACTICE
from builder.program.models import Model

ID = "setting-against-model"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each model and setting."""
    program = computed.program
    for model in program.models.values():
        for name, wanted in program.wanted_of(model.id).items():
            said = model_says(model, name)
            if said is not None and not same_setting(name, wanted.value, said):
                yield _finding(model, name, wanted, said)


def _finding(model: Model, name: str, wanted: Given[str], said: str) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{model.name}: {name} is to be set to {wanted.text}, but its description says {said}. Figures are "
        "made of the description, and units are held against the setting.",
        where=wanted.where,
        source=COMMON_PRACTICE,
        mend="say the same in both, or leave the setting out: units are then held against the description",
        subject=f"model:{model.id}",
    )
