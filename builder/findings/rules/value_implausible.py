"""A value that no portable detector, hose, bottle or workplace has: most often a slip of the hand or of the unit.

Looked at are altitude, air pressure and temperature of the site and its areas, the length of a turn of work, response
time, battery, pump, hose, log and motion alarm of models, life and least oxygen of sensors, volume and pressure of
cylinders, and the times of checks. That a catalytic sensor needs about 10 %vol of oxygen is a rule of thumb.
Source: common practice, no published source; the bounds are wide, and what lies beyond one has a reason.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from builder.base.finding import Finding, Severity
from builder.base.quantity import Quantity, magnitude, quantity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE
from builder.program.interval import Interval
from builder.program.models import Model
from builder.program.program import Program

ID = "value-implausible"
SEVERITIES = (Severity.STOP,)
ACCEPTABLE: Final = True


@dataclass(frozen=True, slots=True)
class Usual:
    """A value, and between what such values lie."""

    what: str
    given: Given[Quantity] | None
    least: int
    most: int
    unit: str
    subject: str


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each."""
    for value in _values(computed.program):
        if value.given and not value.least <= magnitude(value.given.value, value.unit) <= value.most:
            yield Finding(
                rule=ID,
                severity=Severity.STOP,
                message=f"{value.what} is {value.given.text}; such values lie between {value.least} and {value.most} "
                f"{value.unit}.",
                where=value.given.where,
                figures=(),
                source=COMMON_PRACTICE,
                mend="mend the number or its unit",
                subject=value.subject,
            )


def _values(program: Program) -> Iterator[Usual]:
    ambient, page = program.site.ambient, "page:program"
    yield Usual("The site's altitude", ambient.altitude, -450, 5500, "m", page)
    yield Usual("The site's air pressure", ambient.pressure, 50, 110, "kPa", page)
    yield Usual("The site's temperature", ambient.temperature, -50, 60, "°C", page)
    yield Usual("A turn of work", program.site.shift, 1, 24, "h", page)
    for area in program.areas.values():
        yield Usual(f"{area.name}: temperature", area.temperature, -60, 90, "°C", f"area:{area.id}")
        yield Usual(f"{area.name}: depth", area.depth, 0, 500, "m", f"area:{area.id}")
        yield Usual(f"{area.name}: hose", area.hose, 0, 100, "m", f"area:{area.id}")
    for model in program.models.values():
        yield from _of_model(model)
    for sensor in program.sensors.values():
        yield Usual(f"{sensor.name}: its life", _days(sensor.life), 30, 3660, "days", "page:sensors")
        yield Usual(f"{sensor.name}: least oxygen", sensor.minimum_oxygen, 10, 21, "%vol", "page:sensors")
    for cylinder in program.bottles:
        subject = f"cylinder:{cylinder.id}"
        yield Usual(f"Cylinder {cylinder.id}: volume", cylinder.volume, 0, 80, "L", subject)
        yield Usual(f"Cylinder {cylinder.id}: pressure", cylinder.pressure, 0, 300, "bar", subject)
        yield Usual(f"Cylinder {cylinder.id}: flow", cylinder.flow, 0, 10, "L/min", subject)
    for check in program.checks.values():
        yield Usual(f"{check.name}: time with gas", check.gas_time, 1, 900, "s", "page:checks")


def _days(life: Given[Interval]) -> Given[Quantity]:
    return Given(quantity(life.value.nominal_days, "days"), life.where, life.text)


def _of_model(model: Model) -> Iterator[Usual]:
    subject = f"model:{model.id}"
    for position in model.positions:
        what = f"{model.name}, sensor {position.number.value}: response time T90"
        yield Usual(what, position.t90, 1, 600, "s", subject)
    longest = 200 if model.pump or len(model.positions) > 1 else 30_000  # one cell alone takes next to nothing
    yield Usual(f"{model.name}: runtime", model.runtime, 1, longest, "h", subject)
    yield Usual(f"{model.name}: runtime in the cold", model.at_cold, 0, 200, "h", subject)
    if model.pump:
        yield Usual(f"{model.name}: flow of its pump", model.pump.flow, 0, 5, "L/min", subject)
        yield Usual(f"{model.name}: longest hose", model.pump.longest_hose, 0, 100, "m", subject)
        yield Usual(f"{model.name}: flow-block alarm", model.pump.flow_block, 0, 120, "s", subject)
    if model.hose:
        yield Usual(f"{model.name}: bore of its hose", model.hose.bore, 1, 20, "mm", subject)
        yield Usual(f"{model.name}: its hose", model.hose.length, 0, 100, "m", subject)
    if model.log:
        yield Usual(f"{model.name}: data log", model.log.capacity, 1, 20_000, "h", subject)
    if model.lone_worker:
        yield Usual(f"{model.name}: motion alarm", model.lone_worker.motionless, 5, 600, "s", subject)
