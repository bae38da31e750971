"""A setpoint that no display there can show as written; the rounded one is what is set and printed.

Source: arithmetic on the instrument's stated resolution.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.alarms import SETPOINTS, PlacedAlarm, area_references, placed_alarms, places
from builder.findings.wording import keys
from builder.program.keys.families import MODEL_RESOLUTION
from builder.program.models import Model, Position

ID = "alarm-off-step"
SEVERITIES = (Severity.NOTE,)


Case = tuple[Where, str, str, str]
"""Line of the alarm, model, how it does not fit, and what is printed."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each alarm and model whose steps do not meet the value, once for all its areas."""
    program, ledger = computed.program, computed.ledger
    groups: dict[Case, list[PlacedAlarm]] = {}
    steps: dict[Case, tuple[Model, Position]] = {}
    for placed in placed_alarms(program, ledger):
        for model, position, _ in placed.fitted:
            how = _how(placed, position)
            if how:
                case = (placed.alarm.value.where, model.id, how, placed.figure.printed)
                groups.setdefault(case, []).append(placed)
                steps[case] = (model, position)
    for case, group in groups.items():
        model, position = steps[case]
        yield Finding(
            rule=ID,
            severity=Severity.NOTE,
            message=f"{places(group)}: the {group[0].called} {case[2]}, no whole number of steps of {model.name} "
            f"({position.resolution.text}); {case[3]} is printed.",
            where=case[0],
            figures=keys(
                *(placed.figure for placed in group),
                ledger.get(MODEL_RESOLUTION(model=model.id, sensor=position.sensor.value)),
            ),
            source="the instrument's stated resolution",
            mend="write a value that every instrument there can be set to",
            subject=SETPOINTS,
            touches=area_references(group),
        )


def _how(placed: PlacedAlarm, position: Position) -> str:
    """In what way the steps of a display do not meet an alarm; empty where they do."""
    step = magnitude(position.resolution.value, placed.figure.unit)
    if not placed.alarm.true_value and magnitude(placed.alarm.value.value, placed.figure.unit) % step != 0:
        return f"is written as {placed.alarm.value.text}"
    return "does not fit every display there" if placed.figure.rounded % step != 0 else ""
