"""Gases that move the reading of a sensor they are not meant for, and what deadens it."""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.findings.alarms import METHANE
from builder.findings.bumps import bump_cylinders
from builder.findings.rule import rule
from builder.findings.sensor_coverage import hides, sees
from builder.findings.wording import keys, short_list
from builder.program.areas import Area, Hazard
from builder.program.keys.families import CROSS_APPARENT, CROSS_COEFFICIENT, SETPOINT
from builder.program.program import Program
from builder.program.sensors import OXYGEN, Sensor


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
        for sensor in program.sensors_in(area):
            for gas in sensor.cross.table if sensor.cross else ():
                hazard = area.hazard(gas)
                coefficient = ledger.get(CROSS_COEFFICIENT(sensor=sensor.id, gas=gas))
                if hazard is not None and coefficient is not None:
                    apparent = ledger.get(CROSS_APPARENT(area=area.id, sensor=sensor.id, gas=gas))
                    yield Crossing(area=area, sensor=sensor, hazard=hazard, coefficient=coefficient, apparent=apparent)


@rule(Severity.NOTE)
def cross_adds(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A gas that by itself brings a sensor it is not meant for to its first alarm.

    People must leave all the same, but whoever looks for the cause looks for the wrong gas. Source: the
    cross-sensitivity the site states for the sensor.
    """
    # A note for each area, sensor and gas
    for found in crossings(program, ledger):
        channel = found.sensor.channel.value
        low = ledger.get(SETPOINT(area=found.area.id, channel=channel, alarm="low"))
        if channel == OXYGEN or low is None or found.apparent is None or found.sensor.cross is None:
            continue
        if found.apparent.number <= 0 or found.apparent.amount < low.printed_amount:
            continue
        gas = program.gases[found.hazard.gas.value].name
        yield cross_adds.found(
            message=f"{found.area.name}: {gas} alone can make {found.sensor.name} show {found.apparent.printed}, so "
            f"its first alarm at {low.printed} may sound for it.",
            where=found.hazard.gas.where,
            figures=keys(*found.figures(), low),
            source=found.sensor.cross.source.value,
            mend="say on the area's card that this alarm may mean the other gas, and leave on it all the same",
            subject=f"area:{found.area.id}",
        )


@rule(Severity.WARN)
def cross_hides_target(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A gas that moves the reading of a sensor away from the alarm of what it is to see: that alarm can stay silent.

    It lowers the reading of a gas or vapour that is a hazard there too, or shows more oxygen where too little is the
    risk, and less where too much is. Source: the cross-sensitivity the site states for the sensor.
    """
    # A warn for each area, sensor and gas
    for found in crossings(program, ledger):
        hidden = [program.gases[gas].name for gas in hides(program, found.area, found.sensor, found.hazard.gas.value)]
        if not hidden or found.sensor.cross is None:
            continue
        moved = f", here by {found.apparent.printed}" if found.apparent else ""
        yield cross_hides_target.found(
            message=f"{found.area.name}: {program.gases[found.hazard.gas.value].name} "
            f"{'lowers' if found.share < 0 else 'raises'} the reading of {found.sensor.name} "
            f"({found.coefficient.printed} of it{moved}) and can hide {short_list(hidden)} there.",
            where=found.hazard.gas.where,
            figures=keys(*found.figures()),
            source=found.sensor.cross.source.value,
            mend="measure the disturbing gas too, set the alarm of the hidden one earlier, or use another sensor there",
            subject=f"area:{found.area.id}",
        )


@rule(Severity.NOTE, source="OSHA bulletin on direct-reading monitors; the sensor's own list")
def poison_in_area(program: Program, area: Area) -> Iterator[Finding]:
    """A sensor is carried where something in use deadens it, while its zero goes on looking perfect.

    Source: OSHA's bulletin on direct-reading monitors lists silicone, lead, phosphates, sulfides and halogens among
    the causes for a check with gas; the sensor's own list.
    """
    # A note for each area and what is in use there, with the sensors that it deadens
    for poison in area.poisons:
        sensors = _deadened(program, area, poison.value)
        if sensors:
            yield poison_in_area.found(
                message=f"{area.name}: {poison.value} is in use and deadens {short_list(sensors)}. Zero will look "
                "perfect; only gas shows it.",
                where=poison.where,
                mend="bump with gas after each use there as well, of a catalytic sensor with methane",
            )


@rule(Severity.WARN, acceptable=True)
def methane_unproved(program: Program) -> Iterator[Finding]:
    """A catalytic sensor where methane is a hazard, in units that are bumped with another flammable gas alone.

    A bead that is going deaf loses methane first: it still answers propane or pentane, passes every bump test, and
    shows nothing of methane. Source: common practice, no published source; OSHA's bulletin on direct-reading
    monitors lists what deadens such beads.
    """
    # A warn for each area and kind of sensor, with its units
    deaf: dict[tuple[str, str], list[str]] = {}
    for unit in program.units.values():
        bottles = bump_cylinders(program, unit) if unit.in_use else ()
        gases = {part.gas.value for bottle in bottles for part in bottle.components}
        for _, sensor in program.fitted(program.models[unit.model.value]):
            proved = {program.gases[gas].entry.id for gas in gases if sees(sensor, gas)}
            if sensor.principle == "catalytic" and proved and METHANE not in proved:
                for area in program.areas_of_unit(unit):
                    deaf.setdefault((area.id, sensor.id), []).append(unit.id)
    for (area_id, sensor_id), units in deaf.items():
        for hazard in program.areas[area_id].hazards:
            if program.gases[hazard.gas.value].entry.id == METHANE:
                yield methane_unproved.found(
                    message=f"{program.areas[area_id].name}: methane is a hazard, and no gas with methane ever proves "
                    f"{program.sensors[sensor_id].name} of {short_list(units)}: one deaf to methane alone would pass.",
                    where=hazard.gas.where,
                    mend="bump them with methane, in the strength that sets off the alarms",
                    subject=f"area:{area_id}",
                    touches=tuple(f"unit:{unit}" for unit in units),
                )


def _deadened(program: Program, area: Area, poison: str) -> list[str]:
    sensors = program.sensors_in(area)
    return [one.name for one in sensors if any(given.value == poison for given in one.poisoned_by)]
