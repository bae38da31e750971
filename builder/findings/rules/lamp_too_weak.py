"""A gas on a photoionisation sensor whose lamp does not carry more than the gas's ionisation energy.

Source: physics of photoionisation; ionisation energies of the reference library.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import quantity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.figures.formulas.response import lamp_can_ionise
from builder.findings.wording import keys, severity_allowed
from builder.program.gases import Gas
from builder.program.keys.families import GAS_IONISATION_ENERGY, SENSOR_LAMP
from builder.program.sensors import Sensor
from builder.reference.library import Library

ID = "lamp-too-weak"
SEVERITIES = (Severity.STOP, Severity.WARN, Severity.NOTE)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` where the energy was read in its source, else a ``warn``; a ``warn`` where no source has it."""
    program, ledger = computed.program, computed.ledger
    for sensor in program.sensors.values():
        for gas, where in _claimed_gases(sensor).items():
            energy = ledger.get(GAS_IONISATION_ENERGY(gas=gas))
            severity, told = _judge(sensor, program.gases[gas], energy, program.library)
            if told:
                yield Finding(
                    rule=ID,
                    severity=severity,
                    message=f"{sensor.name}: {told}",
                    where=where.where,
                    figures=keys(ledger.get(SENSOR_LAMP(sensor=sensor.id)), energy),
                    source=energy.source if energy else "",
                    mend="use a stronger lamp or another principle, and take the factor out",
                    subject=f"sensor:{sensor.id}",
                )


def _judge(sensor: Sensor, gas: Gas, energy: Figure | None, library: Library) -> tuple[Severity, str]:
    """The weight and the words of a fault; no words where the lamp is strong enough, or there is none.

    The highest published energy decides whether the lamp sees the gas; a lower one that was read is enough to refuse.
    """
    if sensor.lamp is None:
        return Severity.NOTE, ""
    if energy is None:
        return (
            Severity.WARN,
            f"no source here gives the ionisation energy of {gas.name}, so nothing shows that its lamp suits.",
        )
    if lamp_can_ionise(sensor.lamp.value, energy.amount):
        return Severity.NOTE, ""
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
