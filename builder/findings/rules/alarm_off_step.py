"""A setpoint that no display there can show as written; the rounded one is what is set and printed.

Source: arithmetic on the instrument's stated resolution.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.ledger import Ledger
from builder.findings.alarms import Placed, placed_alarms
from builder.findings.judged import keys
from builder.program.models import Model, Position
from builder.program.program import Program

ID = "alarm-off-step"


def rule(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A ``note`` for each alarm and model whose steps do not meet the value."""
    for placed in placed_alarms(program, ledger):
        for model, position, _ in placed.fitted:
            step = magnitude(position.resolution.value, placed.figure.unit)
            written = magnitude(placed.alarm.value.value, placed.figure.unit)
            if not placed.alarm.true_value and written % step != 0:
                yield _finding(placed, model, position, f"is written as {placed.alarm.value.text}", ledger)
            elif placed.figure.rounded % step != 0:
                yield _finding(placed, model, position, "does not fit every display there", ledger)


def _finding(placed: Placed, model: Model, position: Position, how: str, ledger: Ledger) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.NOTE,
        message=f"{placed.area.name}: the {placed.called} {how}, no whole number of steps of {model.name} "
        f"({position.resolution.text}); {placed.figure.printed} is printed.",
        where=placed.alarm.value.where,
        figures=keys(placed.figure, ledger.get(f"model.{model.id}.{position.sensor.value}.resolution")),
        source="the instrument's stated resolution",
        mend="write a value that every instrument there can be set to",
        subject=f"area:{placed.area.id}",
    )
