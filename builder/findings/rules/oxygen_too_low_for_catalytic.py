"""A catalytic sensor in an area whose oxygen can fall below what it needs to burn: it reads low or nothing.

Source: the sensor's own stated minimum; 29 CFR 1910.146 Appendix B (5) gives the principle.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.findings.carried_coverage import fitted_of
from builder.findings.sensor_coverage import Fitted, sees
from builder.findings.wording import keys
from builder.program.areas import Area
from builder.program.keys.families import AREA_LOWEST_OXYGEN, SENSOR_MINIMUM_OXYGEN
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, Sensor

ID = "oxygen-too-low-for-catalytic"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` where a flammable hazard is left to such sensors alone, else a ``warn``."""
    program, ledger = computed.program, computed.ledger
    for area in program.areas.values():
        if area.lowest_oxygen is None:
            continue
        for fitted in program.fitted_in(area, FLAMMABLE):
            if fitted[2].principle == "catalytic":
                yield from _judge(program, ledger, area, fitted)


def _judge(program: Program, ledger: Ledger, area: Area, fitted: Fitted) -> Iterator[Finding]:
    model, _, sensor = fitted
    if area.lowest_oxygen is None:
        return
    if sensor.minimum_oxygen is None:
        told = (
            f"{sensor.name} in {model.name} states no least oxygen, so nothing shows that it works at "
            f"{area.lowest_oxygen.text}"
        )
        severity = Severity.WARN
    elif magnitude(area.lowest_oxygen.value, "%vol") < magnitude(sensor.minimum_oxygen.value, "%vol"):
        alone = _alone(program, area, fitted)
        told = (
            f"oxygen can fall to {area.lowest_oxygen.text}, below the {sensor.minimum_oxygen.text} that {sensor.name} "
            f"in {model.name} needs" + (f", and nothing carried with it sees {', '.join(alone)}" if alone else "")
        )
        severity = Severity.STOP if alone else Severity.WARN
    else:
        return
    yield Finding(
        rule=ID,
        severity=severity,
        message=f"{area.name}: {told}.",
        where=area.lowest_oxygen.where,
        figures=keys(ledger.get(AREA_LOWEST_OXYGEN(area=area.id)), ledger.get(SENSOR_MINIMUM_OXYGEN(sensor=sensor.id))),
        source="the sensor's stated minimum; 29 CFR 1910.146 Appendix B (5)",
        mend="use a principle that needs no oxygen there, such as infrared, or state the least oxygen of the sensor",
        subject=f"area:{area.id}",
    )


def _alone(program: Program, area: Area, fitted: Fitted) -> list[str]:
    """Hazards for which this sensor stands alone in some set: no other principle carried with it sees them."""
    model, _, sensor = fitted
    sets = [one for one in area.carry if any(given.value == model.id for given in one.models)]
    others = [[other for _, _, other in fitted_of(program, one) if _burns_nothing(other)] for one in sets]
    return [
        program.gases[hazard.gas.value].name
        for hazard in area.hazards
        if sees(sensor, hazard.gas.value)
        and any(not any(sees(other, hazard.gas.value) for other in beside) for beside in others)
    ]


def _burns_nothing(sensor: Sensor) -> bool:
    return sensor.channel.value == FLAMMABLE and sensor.principle != "catalytic"
