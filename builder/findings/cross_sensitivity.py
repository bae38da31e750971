"""Gases that move the reading of a sensor they are not meant for, area by area."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.program.areas import Area, Hazard
from builder.program.keys.families import CROSS_APPARENT, CROSS_COEFFICIENT
from builder.program.program import Program
from builder.program.sensors import Sensor


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """One hazard of an area in front of a sensor that is not meant for it."""

    area: Area
    sensor: Sensor
    hazard: Hazard
    """The gas that disturbs."""
    coefficient: Figure
    apparent: Figure | None
    """What it makes the sensor show, where an amount to reckon with is known."""

    @property
    def share(self) -> Fraction:
        """The coefficient, with its sign."""
        return self.coefficient.number

    def figures(self) -> tuple[Figure, ...]:
        """Figures that show it."""
        return tuple(figure for figure in (self.coefficient, self.apparent) if figure is not None)


def crossings(program: Program, ledger: Ledger) -> Iterator[Crossing]:
    """Every such pair, once an area and kind of sensor."""
    for area in program.areas.values():
        sensors = {sensor.id: sensor for model in program.models_in(area) for _, sensor in program.fitted(model)}
        for sensor in sensors.values():
            for gas in sensor.cross.table if sensor.cross else ():
                hazard = area.hazard(gas)
                coefficient = ledger.get(CROSS_COEFFICIENT(sensor=sensor.id, gas=gas))
                if hazard is not None and coefficient is not None:
                    apparent = ledger.get(CROSS_APPARENT(area=area.id, sensor=sensor.id, gas=gas))
                    yield Crossing(area=area, sensor=sensor, hazard=hazard, coefficient=coefficient, apparent=apparent)
