"""A unit in use is given a cylinder that none of its sensors sees: whatever is checked with it proves nothing.

Source: common practice; a check with gas sends gas that the sensor sees.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.sensor_coverage import sees
from builder.findings.wording import COMMON_PRACTICE, short_list

ID = "cylinder-wrong"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each model and cylinder."""
    program = computed.program
    wrong: dict[tuple[str, str], list[tuple[str, Where]]] = {}
    for unit in program.units.values():
        sensors = [sensor for _, sensor in program.fitted(program.models[unit.model.value])]
        for given in unit.cylinders if unit.in_use else ():
            parts = program.cylinders[given.value].components
            if not any(sees(sensor, part.gas.value) for sensor in sensors for part in parts):
                wrong.setdefault((unit.model.value, given.value), []).append((unit.id, given.where))
    for (model, cylinder), units in wrong.items():
        yield Finding(
            rule=ID,
            severity=Severity.STOP,
            message=f"Cylinder {cylinder} holds nothing that any sensor of {program.models[model].name} sees; checked "
            f"with it: {short_list([unit for unit, _ in units])}.",
            where=units[0][1],
            source=COMMON_PRACTICE,
            mend="name the cylinder whose gas its sensors see",
            subject=f"cylinder:{cylinder}",
            touches=(f"cylinder:{cylinder}", *(f"unit:{unit}" for unit, _ in units)),
        )
