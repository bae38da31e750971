"""A sensor is carried where something in use deadens it, while its zero goes on looking perfect.

Source: OSHA's bulletin on direct-reading monitors lists silicone, lead, phosphates, sulfides and halogens among the
causes for a check with gas; the sensor's own list.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import short_list
from builder.program.areas import Area
from builder.program.program import Program

ID = "poison-in-area"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each area and what is in use there, with the sensors that it deadens."""
    for area in computed.program.areas.values():
        for poison in area.poisons:
            sensors = _deadened(computed.program, area, poison.value)
            if sensors:
                yield Finding(
                    rule=ID,
                    severity=Severity.NOTE,
                    message=f"{area.name}: {poison.value} is in use and deadens {short_list(sensors)}. Zero will look "
                    "perfect; only gas shows it.",
                    where=poison.where,
                    source="OSHA bulletin on direct-reading monitors; the sensor's own list",
                    mend="bump with gas after each use there as well, of a catalytic sensor with methane",
                    subject=f"area:{area.id}",
                )


def _deadened(program: Program, area: Area, poison: str) -> list[str]:
    fitted = (sensor for model in program.models_in(area) for _, sensor in program.fitted(model))
    found = [sensor.name for sensor in fitted if any(given.value == poison for given in sensor.poisoned_by)]
    return list(dict.fromkeys(found))
