"""A sensor where the air pressure of the site lies outside what it is made for.

Source: the sensor's own stated range.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import SENSOR_PRESSURE_FROM, SENSOR_PRESSURE_TO, SITE_PRESSURE

ID = "pressure-outside"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each kind of sensor that a model has."""
    program, ledger = computed.program, computed.ledger
    fitted = {position.sensor.value for model in program.models.values() for position in model.positions}
    here = ledger.get(SITE_PRESSURE())
    for sensor in program.sensors.values():
        if sensor.pressures is None or sensor.id not in fitted or here is None:
            continue
        low, high = sensor.pressures
        if magnitude(low.value, "kPa") <= magnitude(here.amount, "kPa") <= magnitude(high.value, "kPa"):
            continue
        bounds = (ledger.get(family(sensor=sensor.id)) for family in (SENSOR_PRESSURE_FROM, SENSOR_PRESSURE_TO))
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"{sensor.name} is made for air of {low.text} to {high.text}; here it has {here.printed}. What it "
            "shows there is not known.",
            where=low.where,
            figures=keys(here, *bounds),
            source="range stated for the sensor",
            mend="ask its maker, or prove it with gas at this height",
            subject=f"sensor:{sensor.id}",
        )
