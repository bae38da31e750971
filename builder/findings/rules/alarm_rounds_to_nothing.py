"""A setpoint that, rounded to what the instrument can be set to, is nothing or less than one step of the display.

Source: arithmetic on the instrument's stated resolution.
"""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude, quantity
from builder.figures.computed import Computed
from builder.findings.alarms import placed_alarms
from builder.findings.wording import keys, severity_allowed
from builder.program.keys.families import MODEL_RESOLUTION

ID = "alarm-rounds-to-nothing"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each such alarm, once for the coarsest display."""
    program, ledger = computed.program, computed.ledger
    for placed in placed_alarms(program, ledger):
        model, position, _ = max(
            placed.fitted, key=lambda fitted: magnitude(fitted[1].resolution.value, placed.figure.unit)
        )
        step = magnitude(position.resolution.value, placed.figure.unit)
        if quantity(placed.figure.rounded, placed.figure.unit) <= quantity(Fraction(0), placed.figure.unit) or (
            placed.figure.rounded < step
        ):
            severity, caveat = severity_allowed(Severity.STOP, placed.figure)
            yield Finding(
                rule=ID,
                severity=severity,
                message=f"{placed.area.name}: the {placed.called} comes to {placed.figure.printed}, less than one step "
                f"of {model.name} ({position.resolution.text}).{caveat}",
                where=placed.alarm.value.where,
                figures=keys(placed.figure, ledger.get(MODEL_RESOLUTION(model=model.id, sensor=position.sensor.value))),
                source="the instrument's stated resolution",
                mend="use an instrument with a finer display there, or a sensor that needs a smaller correction",
                subject=f"area:{placed.area.id}",
            )
