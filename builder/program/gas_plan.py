"""Which of several cylinders a sensor of a unit is checked with."""

from collections.abc import Iterable

from builder.program.checks import Check
from builder.program.cylinders import Cylinder
from builder.program.inventory import Unit
from builder.program.program import Program
from builder.program.sensors import OXYGEN, Sensor


def cylinders_for(program: Program, unit: Unit, kind: str) -> tuple[Cylinder, ...]:
    """The cylinders of a unit that serve a kind of check, in the order of the inventory."""
    named = (program.cylinders[given.value] for given in unit.cylinders)
    return tuple(one for one in named if any(check.kind == kind for check in checks_of(program, one)))


def checks_of(program: Program, cylinder: Cylinder) -> tuple[Check, ...]:
    """The checks that a cylinder serves."""
    return tuple(program.checks[given.value] for given in cylinder.checks)


def own_cylinder(cylinders: Iterable[Cylinder], sensor: Sensor) -> Cylinder | None:
    """The first that holds the gas a sensor is adjusted with, else the first that holds any gas it sees."""
    choice = tuple(cylinders)
    exact = (one for one in choice if one.component(sensor.calibrated_with.value))
    seen = (one for one in choice if any(sensor.sees(part.gas.value) for part in one.components))
    return next(exact, None) or next(seen, None)


def reaches(cylinder: Cylinder, sensor: Sensor) -> bool:
    """Whether a sensor answers to a cylinder: to a gas in it, or an oxygen sensor to nitrogen without oxygen."""
    blind = {given.value for given in sensor.blind_to}
    if any(sensor.sees(part.gas.value) and part.gas.value not in blind for part in cylinder.components):
        return True
    return sensor.channel.value == OXYGEN and cylinder.balance.value == "nitrogen"
