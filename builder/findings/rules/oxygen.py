"""Oxygen as a hazard, and as what a catalytic sensor needs."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import magnitude, quantity
from builder.base.where import Where
from builder.figures.figure import Figure
from builder.figures.formulas.acceptance import alarm_trips, share
from builder.figures.ledger import Ledger
from builder.figures.topics.mixture_ranges import INERT
from builder.findings.bumps import EVERY_ALARM, bump_cylinders
from builder.findings.rule import rule
from builder.findings.sensor_coverage import MUCH, Fitted, alarms_wanted, asphyxiant, fitted_of, sees
from builder.findings.wording import keys, short_list
from builder.program.areas import Area
from builder.program.cylinders import Cylinder
from builder.program.inventory import Unit
from builder.program.keys.families import AREA_LOWEST_OXYGEN, SENSOR_MINIMUM_OXYGEN, SETPOINT
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, Sensor


@rule(Severity.WARN, acceptable=True, source=EVERY_ALARM)
def oxygen_high_unproved(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """Oxygen enrichment is a hazard of an area, and no gas ever sets off the high oxygen alarm of the units used there.

    Mixed gas is low in oxygen and proves the low alarm alone. Source: the definition of a bump test in OSHA's
    bulletin of 26 Nov 2024 and before it ISEA's, gas strong enough to set off every alarm.
    """
    risky = next((hazard for hazard in area.hazards if "high" in alarms_wanted(program, hazard)), None)
    alarm = ledger.get(SETPOINT(area=area.id, channel=OXYGEN, alarm="high"))
    if risky is None or alarm is None:
        return
    unproved = [unit.id for unit in program.units.values() if _used_unproved(program, unit, area, alarm)]
    if unproved:
        yield oxygen_high_unproved.found(
            message=f"{area.name}: too much oxygen is a hazard, but no gas sets off its alarm at "
            f"{alarm.printed} of {short_list(unproved)}.",
            where=risky.gas.where,
            figures=keys(alarm),
            mend="give those units a second cylinder with oxygen above the alarm, or answer for it by name",
        )


def _used_unproved(program: Program, unit: Unit, area: Area, alarm: Figure) -> bool:
    sensors = [sensor for _, sensor in program.fitted(program.models[unit.model.value])]
    measures = any(sensor.channel.value == OXYGEN for sensor in sensors)
    here = unit.area is not None and unit.area.value == area.id and unit.in_use
    return here and measures and not any(_trips(one, alarm) for one in bump_cylinders(program, unit))


def _trips(cylinder: Cylinder, alarm: Figure) -> bool:
    part = cylinder.component(OXYGEN)
    if part is None:
        return False
    error = share(part.uncertainty.value, part.value.value)
    return alarm_trips(part.value.value, quantity(alarm.rounded, alarm.unit), error=error)


@rule(Severity.STOP, Severity.WARN, source="the sensor's stated minimum; 29 CFR 1910.146 Appendix B (5)")
def oxygen_too_low_for_catalytic(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """A catalytic sensor in an area whose oxygen can fall below what it needs to burn: it reads low or nothing.

    How low it can fall is asked for where an inert gas is a hazard, or a tenth or more of a mixture, or is named where
    it is said why oxygen is short; of carbon dioxide also as a hazard, as in vats, silos and under flue gas, where
    people go in and too little oxygen is a risk. Source: the sensor's own stated minimum; 29 CFR 1910.146 Appendix B
    (5) gives the principle.
    """
    # A stop where a flammable hazard is left to such sensors alone, else a warn; one for each area and kind of sensor
    burning = (one for one in program.fitted_in(area, FLAMMABLE) if one[2].principle == "catalytic")
    for group in grouped(burning, lambda fitted: fitted[2].id).values():
        yield from _judge(program, ledger, area, group)


def _judge(program: Program, ledger: Ledger, area: Area, group: list[Fitted]) -> Iterator[Finding]:
    sensor = group[0][2]
    named = f"{sensor.name} in {' and '.join(model.name for model, _, _ in group)}"
    alone = short_list(list(dict.fromkeys(gas for fitted in group for gas in _alone(program, area, fitted))))
    where = area.lowest_oxygen.where if area.lowest_oxygen else area.where
    if area.lowest_oxygen is None:
        inert = next(_displacing(program, area), None)
        if inert is None or not alone:
            return
        (name, where), severity = inert, Severity.WARN
        told = (
            f"{name} takes the place of oxygen, and how low it can fall is not stated: "
            f"nothing shows that {named} sees {alone} then"
        )
    elif sensor.minimum_oxygen is None:
        told = f"{named} states no least oxygen, so nothing shows that it works at {area.lowest_oxygen.text}"
        severity = Severity.WARN
    elif magnitude(area.lowest_oxygen.value, "%vol") < magnitude(sensor.minimum_oxygen.value, "%vol"):
        told = (
            f"oxygen can fall to {area.lowest_oxygen.text}, below the {sensor.minimum_oxygen.text} that {named} needs"
            + (f", and nothing carried with it sees {alone}" if alone else "")
        )
        severity = Severity.STOP if alone else Severity.WARN
    else:
        return
    yield oxygen_too_low_for_catalytic.found(
        severity=severity,
        message=f"{area.name}: {told}.",
        where=where,
        figures=keys(ledger.get(AREA_LOWEST_OXYGEN(area=area.id)), ledger.get(SENSOR_MINIMUM_OXYGEN(sensor=sensor.id))),
        mend="carry a principle that needs no oxygen, such as infrared; or state how low oxygen can fall there "
        "(lowest-oxygen of the area), and the least oxygen of the sensor",
    )


def _displacing(program: Program, area: Area) -> Iterator[tuple[str, Where]]:
    """Gases that burn nothing and may be there in place of the oxygen: the name, and the line that says so."""
    short = [one for one in area.hazards if "low" in alarms_wanted(program, one)]
    told = [(one.gas.value, one.gas.where) for one in area.hazards if area.entered and short]
    told += [(one.gas.value, one.gas.where) for one in area.hazards if asphyxiant(program, one.gas.value)]
    for mixture in area.mixtures:
        much = (gas for gas, part in mixture.parts.items() if magnitude(part.highest.value, "%") >= MUCH)
        told += [(gas, mixture.where) for gas in much]
    yield from ((program.gases[gas].name, where) for gas, where in told if program.gases[gas].entry.id in INERT)
    for why in (one.why for one in short):
        named = (program.library.gas(gas) for gas in program.library.named_in(why.value))
        yield from ((gas.name, why.where) for gas in named if gas.id in INERT)


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


@rule(Severity.STOP)
def catalytic_without_oxygen(program: Program, cylinder: Cylinder) -> Iterator[Finding]:
    """Gas without oxygen for a catalytic sensor, which cannot burn it: it reads low, or is adjusted far too high.

    Source: common practice; balance air for catalytic sensors.
    """
    # A stop for each such cylinder and kind of sensor
    serves = any(program.checks[check.value].uses_gas for check in cylinder.checks)
    if cylinder.balance.value == "air" or cylinder.component("oxygen") or not serves:
        return
    for sensor in program.sensors.values():
        users = _users(program, cylinder, sensor)
        if sensor.principle == "catalytic" and users:
            yield catalytic_without_oxygen.found(
                message=f"Cylinder {cylinder.id} is balanced with nitrogen and holds no oxygen, but units with "
                f"{sensor.name} are checked with it: {short_list(users)}.",
                where=cylinder.balance.where,
                mend="get the gas in air, or with enough oxygen, for those units",
            )


def _users(program: Program, cylinder: Cylinder, sensor: Sensor) -> list[str]:
    """Units that are checked with a cylinder on a sensor that sees some of what it holds."""
    if not any(sees(sensor, part.gas.value) for part in cylinder.components):
        return []
    return [
        unit.id
        for unit in program.units.values()
        if unit.state.value != "retired"
        and unit.checked_with(cylinder.id)
        and any(position.sensor.value == sensor.id for position in program.models[unit.model.value].positions)
    ]
