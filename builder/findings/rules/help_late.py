"""Help for who is inside a confined space that is called, or comes, later than a quarter of an hour.

Source: 29 CFR 1910.146, appendix F, A.II (1), advice: where air can quickly become dangerous to life the rescuers stand
by at the space; ten to fifteen minutes may do where only machines can hurt.
"""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import Quantity, magnitude
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.areas import Area
from builder.program.keys.families import AREA_RESCUE_WITHIN, MODEL_RELAY_HELP

ID = "help-late"
SEVERITIES = (Severity.WARN,)
MOST = Fraction(15)
"""Minutes."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each area that is entered, and one more for each model carried there that calls help."""
    program = computed.program
    for area in program.areas.values():
        if not area.entered:
            continue
        yield from _late(computed, area, "help is called only", area.rescue_within, AREA_RESCUE_WITHIN(area=area.id))
        for model in program.models_in(area):
            if model.relay is not None:
                told = f"help that {model.name} calls comes only"
                yield from _late(computed, area, told, model.relay.help_within, MODEL_RELAY_HELP(model=model.id))


def _late(computed: Computed, area: Area, told: str, given: Given[Quantity] | None, key: str) -> Iterator[Finding]:
    if given is None or magnitude(given.value, "min") <= MOST:
        return
    yield Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{area.name}: {told} within {given.text}. In bad air that may be too late.",
        where=given.where,
        figures=keys(computed.ledger.get(key)),
        source="29 CFR 1910.146, appendix F, A.II (1), advice",
        mend="have rescuers stand by at the space while somebody is inside",
        subject=f"area:{area.id}",
    )
