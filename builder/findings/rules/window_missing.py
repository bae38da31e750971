"""A check with gas that says for some sensors which reading passes, and for others of units in use nothing.

Source: common practice, no published source; what passes without a window, passes with any reading.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, short_list

ID = "window-missing"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each check, with all the sensors."""
    program = computed.program
    for check in program.checks.values():
        units = (unit for unit in program.units.values() if unit.in_use)
        asked = [unit for unit in units if check.asked_in(unit.place, unit.model.value)]
        models = dict.fromkeys(unit.model.value for unit in asked)
        fitted = (sensor for model in models for _, sensor in program.fitted(program.models[model]))
        lacking = dict.fromkeys(sensor.name for sensor in fitted if sensor.channel.value not in check.window)
        if check.uses_gas and check.window and lacking:
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{check.name} states no window for: {short_list(list(lacking))}. Any reading of them passes.",
                where=check.where,
                source=COMMON_PRACTICE,
                mend="state how far their reading may lie off what the gas must show",
                subject="page:checks",
            )
