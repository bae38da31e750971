"""An averaged alarm that protects a limit over 8 h or 15 min, on a model that averages over another time.

Source: 29 CFR 1910.1000 (d)(1), the dose over eight hours; (a)(1), 15 minutes.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.findings.wording import keys, short_list
from builder.program.keys.families import MODEL_STEL_OVER, MODEL_TWA_OVER
from builder.program.models import Model
from builder.program.program import Program

ID = "average-base-differs"
SEVERITIES = (Severity.WARN,)
ASKED = {"twa": (MODEL_TWA_OVER, "h", 8), "stel": (MODEL_STEL_OVER, "min", 15)}


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each model and averaged alarm, with the areas that set it."""
    for model in computed.program.models.values():
        for alarm, (family, unit, asked) in ASKED.items():
            base = computed.ledger.get(family(model=model.id))
            areas = _areas(computed.program, model, alarm)
            if base is not None and areas and magnitude(base.amount, unit) != asked:
                yield _finding(model, alarm, base, f"{asked} {unit}", areas)


def _areas(program: Program, model: Model, alarm: str) -> list[str]:
    """Names of the areas in which a channel of a model has such an alarm."""
    channels = {sensor.channel.value for _, sensor in program.fitted(model)}
    return [
        area.name
        for area in program.areas.values()
        if any(given.value == model.id for given in area.detectors)
        and any((entry := program.setpoint(area.id, channel)) and entry.alarm(alarm) for channel in channels)
    ]


def _finding(model: Model, alarm: str, base: Figure, asked: str, areas: list[str]) -> Finding:
    averages = model.averages
    stated = averages and (averages.twa_over if alarm == "twa" else averages.stel_over)
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{model.name} averages its {alarm.upper()} over {base.printed}, but the limit it protects is over "
        f"{asked}: {short_list(areas)}.",
        where=stated.where if stated else model.where,
        figures=keys(base),
        source="29 CFR 1910.1000 (a)(1), (d)(1)",
        mend="set the time base of the unit, or work the alarm back for it",
        subject=f"model:{model.id}",
    )
