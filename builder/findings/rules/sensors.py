"""Sensors that cannot do, or no longer do, what is asked of them."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import quantity
from builder.base.where import Given, Where
from builder.figures.day_margins import past
from builder.figures.figure import Figure, day_text
from builder.figures.formulas.clock import next_due
from builder.figures.formulas.response import lamp_can_ionise
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import fitted_since
from builder.findings.rule import Caused, rule
from builder.findings.wording import keys, severity_allowed, short_list
from builder.program.areas import Area
from builder.program.gases import Gas
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, Sensor
from builder.reference.formula import parse_formula
from builder.reference.library import Library


@rule(Severity.STOP, Severity.WARN, Severity.NOTE)
def lamp_too_weak(program: Program, ledger: Ledger, sensor: Sensor) -> Iterator[Finding]:
    """A gas on a photoionisation sensor whose lamp does not carry more than the gas's ionisation energy.

    Source: physics of photoionisation; ionisation energies of the reference library.
    """
    # A stop where the energy was read in its source, else a warn; a warn where no source has it
    for gas, where in _claimed_gases(sensor).items():
        energy = ledger.get(keyed.GAS_IONISATION_ENERGY(gas=gas))
        judged = _judge(sensor, program.gases[gas], energy, program.library)
        if judged is not None:
            severity, told = judged
            yield lamp_too_weak.found(
                severity=severity,
                message=f"{sensor.name}: {told}",
                where=where.where,
                figures=keys(ledger.get(keyed.SENSOR_LAMP(sensor=sensor.id)), energy),
                source=energy.source if energy else "",
                mend="use a stronger lamp or another principle, and take the factor out",
            )


def _judge(sensor: Sensor, gas: Gas, energy: Figure | None, library: Library) -> tuple[Severity, str] | None:
    """The weight and the words of a fault; ``None`` where the lamp is strong enough, or there is none.

    The highest published energy decides whether the lamp sees the gas; a lower one that was read is enough to refuse.
    """
    if sensor.lamp is None:
        return None
    if energy is None:
        return (
            Severity.WARN,
            f"no source here gives the ionisation energy of {gas.name}, so nothing shows that its lamp suits.",
        )
    if lamp_can_ionise(sensor.lamp.value, energy.amount):
        return None
    others = () if "ionisation-energy" in gas.overrides else library.ionisation_energies(gas.entry.id)
    read = [quantity(one.value, one.unit) for one in others if one.read]
    refused = any(not lamp_can_ionise(sensor.lamp.value, one) for one in read)
    severity, caveat = (Severity.STOP, "") if refused else severity_allowed(Severity.STOP, energy)
    needs = f"which needs more than {energy.printed}.{caveat}"
    return severity, f"its lamp of {sensor.lamp.text} cannot ionise {gas.name}, {needs}"


def _claimed_gases(sensor: Sensor) -> dict[str, Given[str]]:
    """Gases the content says that the sensor sees, with the line that says so."""
    table = sensor.factors.table if sensor.factors else {}
    blind = {given.value for given in sensor.blind_to}
    reference = {sensor.factors.relative_to.value: sensor.factors.relative_to} if sensor.factors else {}
    stated = {gas: factor.becoming(gas) for gas, factor in table.items()}
    claimed = reference | {sensor.shows.value: sensor.shows} | stated
    return {gas: where for gas, where in claimed.items() if gas not in blind}


NO_INFRARED = frozenset({"argon", "chlorine", "helium", "hydrogen", "nitrogen", "oxygen"})
"""Library ids of gases of one element: a molecule of two like atoms, or an atom alone, takes up no infrared light."""


@rule(Severity.STOP, Severity.WARN, source="physics of infrared absorption")
def infrared_blind(program: Program, sensor: Sensor) -> Iterator[Finding]:
    """A gas on an infrared sensor that absorbs no infrared light, such as hydrogen: the display stays at zero.

    On one of the flammable channel also a gas without a bond of carbon to hydrogen, as carbon monoxide and ammonia: it
    looks at the light of that bond, about 3.3 micrometres. Source: physics of infrared absorption, which needs a dipole
    that changes (G. Herzberg, Molecular Spectra and Molecular Structure I: homonuclear molecules have no infrared
    spectrum; II: the bond of carbon and hydrogen vibrates at 2850 to 3300 per centimetre); recalled, not read.
    """
    # A stop where no light is absorbed at all, a warn where another light is
    narrow = sensor.channel.value == FLAMMABLE and _hydrocarbon(program.gases[sensor.shows.value])
    for gas, given in _claimed_gases(sensor).items() if sensor.principle == "infrared" else ():
        blind = program.gases[gas].entry.id in NO_INFRARED
        if blind or (narrow and not _hydrocarbon(program.gases[gas])):
            fault = (
                "no infrared light, so it shows nothing"
                if blind
                else "little or no light where sensors for hydrocarbons look, so it shows next to nothing"
            )
            yield infrared_blind.found(
                severity=Severity.STOP if blind else Severity.WARN,
                message=f"{sensor.name}: {program.gases[gas].name} absorbs {fault}.",
                where=given.where,
                mend="take it out and name it under blind-to; use a principle that sees it",
            )


def _hydrocarbon(gas: Gas) -> bool:
    """Whether it has carbon and hydrogen; of the site's own gases nobody says what they are made of."""
    return gas.own is not None or {"C", "H"} <= parse_formula(gas.entry.formula).keys()


@rule(Severity.NOTE, source="HSE safety alert CEMHD1-2020, its detail as reported")
def tube_needs_proof(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """Hazards that cling to tubes, sampled through a hose: time alone does not show that they arrive.

    Source: HSE safety alert CEMHD1-2020 (its detail seen through reports): first function check of a new use or a
    new tube through that very tube, with the real substance where practicable.
    """
    # A note for each area with such hazards
    pumped = [model for model in program.models_in(area) if model.pump and model.hose]
    if not pumped or not (area.hose or area.depth):
        return
    waits = [ledger.get(keyed.HOSE_WAIT(area=area.id, model=model.id)) for model in pumped]
    clinging = [hazard.gas for hazard in area.hazards if program.gases[hazard.gas.value].clings]
    if clinging:
        yield tube_needs_proof.found(
            message=f"{area.name}: what clings to the sampling tube is not shown to arrive by any computed wait "
            f"({short_list([program.gases[gas.value].name for gas in clinging])}); "
            f"a new tube or a new use is proved "
            f"with the real substance through that tube first.",
            where=clinging[0].where,
            figures=keys(*waits),
            mend="do that function check and record it; keep the tube short; wait until the reading is steady",
            subject=f"area:{area.id}",
            touches=tuple(f"gas:{gas.value}" for gas in clinging),
        )


@rule(Severity.NOTE)
def cannot_reach_lel(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """A flammable vapour that, over its liquid in still air, stays below the first alarm: it will not tell of it.

    Silence of that alarm is then no proof that the vapour is absent, and its toxic limit lies far lower. Source:
    vapour pressure of the liquid at the area's temperature, Dalton's law.
    """
    for hazard in area.hazards:
        gas = hazard.gas.value
        reached = ledger.get(keyed.AREA_REACHABLE_LEL(area=area.id, gas=gas))
        if reached is None and area.temperature is None:
            reached = ledger.get(keyed.GAS_REACHABLE_LEL(gas=gas))
        low = ledger.get(keyed.SETPOINT_TRUE(area=area.id, gas=gas, alarm="low"))
        if reached is None or low is None or reached.amount >= low.amount:
            continue
        name = program.gases[gas].name
        yield cannot_reach_lel.found(
            message=f"{area.name}: {name} can reach only {reached.printed} there in still air, and the first alarm "
            f"of flammable gas sounds at {low.printed} of it; that alarm says nothing about {name}.",
            where=hazard.gas.where,
            figures=keys(reached, low),
            source=reached.source,
            mend="measure it as a toxic vapour there; warm surfaces, mist and hot lines can still make it burn",
        )


@rule(Severity.WARN, counted="unit")
def sensor_past_life(program: Program, ledger: Ledger, logbook: Logbook) -> Iterator[Caused]:
    """A fitted sensor, or a battery, that is older than its stated life, in a unit that may be used.

    The later of the day in the inventory and a recorded change counts. Source: the life the site states for that
    kind of sensor, and for the battery of that model.
    """
    # A warn for each kind of sensor and each model's battery, with every unit
    yield from _sensors_past_life(program, ledger, logbook)
    yield from _batteries_past_life(program, ledger)


def _batteries_past_life(program: Program, ledger: Ledger) -> Iterator[Caused]:
    for unit in program.units.values():
        model = program.models[unit.model.value]
        if unit.battery is None or model.battery.life is None or not unit.checked:
            continue
        end = next_due(unit.battery.value, model.battery.life.value)
        if past(end, ledger.today):
            found = sensor_past_life.found(
                message=f"Unit {unit.id}: its battery was to last {model.battery.life.text}, until {day_text(end)}.",
                where=unit.battery.where,
                source="life stated for the battery of that model in models.yaml",
                mend="change the battery and enter the day; until then its runtime is not what this handbook says",
                subject=f"unit:{unit.id}",
            )
            yield ("battery", model.id), found


def _sensors_past_life(program: Program, ledger: Ledger, logbook: Logbook) -> Iterator[Caused]:
    for unit in program.units.values():
        log = logbook.units.get(unit.id)
        for part in unit.sensors if unit.checked else ():
            start = fitted_since(unit, part.sensor.value, log)
            if start is None:
                continue
            sensor = program.sensors[part.sensor.value]
            end = next_due(start, sensor.life.value)
            if past(end, ledger.today):
                told = f"the life of its {sensor.name}, {sensor.life.text}, ended on {day_text(end)}."
                found = sensor_past_life.found(
                    message=f"Unit {unit.id}: {told}",
                    where=part.where,
                    figures=keys(ledger.get(keyed.SENSOR_LIFE(sensor=sensor.id))),
                    source="life stated for that kind of sensor in sensors.yaml",
                    mend="change the sensor, calibrate, and record both",
                    subject=f"unit:{unit.id}",
                )
                yield sensor.id, found


@rule(Severity.WARN, counted="unit")
def sensor_not_listed(program: Program) -> Iterator[Caused]:
    """A unit of which some fitted sensors are entered and others are not: of those nobody knows age and serial number.

    Source: common practice, no published source.
    """
    # A warn for each model and sensors, with every unit
    for unit in program.units.values():
        listed = {part.sensor.value for part in unit.sensors}
        asked = {position.sensor.value for position in program.models[unit.model.value].positions}
        if listed and asked - listed and unit.checked:
            names = short_list([program.sensors[sensor].name for sensor in sorted(asked - listed)])
            found = sensor_not_listed.found(
                message=f"Unit {unit.id}: its sensors are entered, but not its {names}. Its age is not known.",
                where=unit.where,
                mend="look at the sensor itself and enter it with the day it was fitted",
                subject=f"unit:{unit.id}",
            )
            yield (unit.model.value, names), found


@rule(Severity.STOP)
def sensor_serial_twice(program: Program) -> Iterator[Finding]:
    """One sensor, by its serial number, entered twice, in two units or in one: an entry and its history are wrong.

    Source: common practice, no published source.
    """
    # A stop for each later entry of a serial number
    first: dict[str, tuple[str, Where]] = {}
    for unit in program.units.values():
        for part in unit.sensors:
            if part.serial is None:
                continue
            serial = part.serial.value.casefold()
            if serial in first:
                other = first[serial][0]
                at = f"twice in {unit.id}" if unit.id == other else f"in {unit.id} and in {other}"
                yield sensor_serial_twice.found(
                    message=f"Sensor {part.serial.value} stands {at}. It can be in "
                    "one place only, so age and checks of the other are not its own.",
                    where=part.serial.where,
                    mend="look at the sensors themselves and correct the entry",
                    touches=tuple(dict.fromkeys((f"unit:{unit.id}", f"unit:{other}"))),
                )
            first.setdefault(serial, (unit.id, part.serial.where))
