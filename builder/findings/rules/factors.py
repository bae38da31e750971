"""Factors of sensors beside what physics lets expect, and how far they may be off."""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import Quantity, magnitude, quantity
from builder.base.rounding import printed_text
from builder.figures.formulas import bead
from builder.figures.ledger import Ledger
from builder.figures.roundings import hazard_digits
from builder.findings.alarms import factor_on
from builder.findings.rule import rule
from builder.findings.wording import keys, short_list
from builder.program.gases import Gas
from builder.program.keys.families import FACTOR, GAS_LEL
from builder.program.program import Program
from builder.program.sensors import Factors, ProofRow, Sensor
from builder.reference.combustion import burning_gas


def expected_factor(ledger: Ledger, shown: Gas, gas: Gas) -> Fraction | None:
    """The factor to be expected of a gas on a display that shows another, or ``None`` where too little is known."""
    signals = (_signal(ledger, shown), _signal(ledger, gas))
    if signals[0] is None or signals[1] is None:
        return None
    return magnitude(bead.expected_factor(signals[0], signals[1]), "")


def _signal(ledger: Ledger, gas: Gas) -> Quantity | None:
    facts, lel = burning_gas(gas.entry.id, gas.entry.formula), ledger.get(GAS_LEL(gas=gas.id))
    if facts is None or lel is None:
        return None
    spread = bead.diffusion(quantity(gas.entry.molar_mass, "g/mol"), quantity(facts.diffusion_volume, ""))
    return bead.signal(spread, quantity(facts.heat, "kJ/mol"), lel.amount)


AGREES = (Fraction(8, 10), Fraction(125, 100))
"""How far factor and proof row may lie apart: one observation is no better than this. Common practice, no source."""
PLAUSIBLE = (Fraction(7, 10), Fraction(14, 10))
"""How far the physics may miss: within about this range for the gases it was held against."""


@rule(Severity.STOP, Severity.WARN)
def factor_inverted(program: Program, ledger: Ledger, sensor: Sensor) -> Iterator[Finding]:
    """A table of response factors against its own proof row, or what physics lets expect of a catalytic sensor.

    A proof row says how much gas was there and how much was shown. A table that disagrees with it, most of all one
    that divides where it should multiply, makes every number after it wrong. On a catalytic sensor the factor is
    also held against diffusion x heat of combustion x explosive limit; that only warns, and is never printed as the
    site's factor. Source: the site's proof row; Firth, Jones and Jones, Combustion and Flame 21 (1973) 303, with
    Fuller, Schettler and Giddings, Industrial and Engineering Chemistry 58 (1966) 19.
    """
    # A stop for each proof row that the table contradicts, a warn for each factor that physics doubts
    if sensor.factors is not None:
        for row in sensor.factors.proof:
            yield from _proof(program, ledger, sensor, row)
        if sensor.principle == "catalytic":
            yield from _physics(program, ledger, sensor, sensor.factors)


def _proof(program: Program, ledger: Ledger, sensor: Sensor, row: ProofRow) -> Iterator[Finding]:
    seen = row.there.value.magnitude / magnitude(row.shown.value, row.there.value.unit)
    ratio = factor_on(sensor, row.gas.value) / seen
    if AGREES[0] <= ratio <= AGREES[1]:
        return
    used = ledger.get(FACTOR(sensor=sensor.id, gas=row.gas.value))
    factor = used.text if used else printed_text(factor_on(sensor, row.gas.value), hazard_digits(2))
    name = program.gases[row.gas.value].name
    yield factor_inverted.found(
        severity=Severity.STOP,
        message=f"{sensor.name}: with {row.there.text} of {name} it showed {row.shown.text}, which is a factor of "
        f"{printed_text(seen, hazard_digits(2))}; the table has {factor}. Multiplied where it should be "
        "divided, every reading and alarm of these gases is wrong.",
        where=row.gas.where,
        figures=keys(used),
        source=row.source.value,
        mend="compare convention and numbers with the document they come from, then the proof row",
    )


def _physics(program: Program, ledger: Ledger, sensor: Sensor, factors: Factors) -> Iterator[Finding]:
    for name, stated in factors.table.items():
        expected = expected_factor(ledger, program.gases[sensor.shows.value], program.gases[name])
        if expected is None or name == sensor.shows.value:
            continue
        factor = factor_on(sensor, name)
        if PLAUSIBLE[0] <= factor / expected <= PLAUSIBLE[1]:
            continue
        used = ledger.get(FACTOR(sensor=sensor.id, gas=name))
        turned = PLAUSIBLE[0] <= factor * expected <= PLAUSIBLE[1]
        yield factor_inverted.found(
            severity=Severity.WARN,
            message=f"{sensor.name}: the factor for {program.gases[name].name} is "
            f"{used.text if used else stated.text}; diffusion, heat of combustion and explosive limit suggest about "
            f"{printed_text(expected, hazard_digits(2))}."
            + (" It looks like a relative response, which divides where a factor multiplies." if turned else ""),
            where=stated.where,
            figures=keys(used),
            source="Firth, Jones and Jones, Combustion and Flame 21 (1973) 303; plausible within 0.7 to 1.4",
            mend="compare with the sensor's manual, and give a proof row: this much gas, so much shown",
        )


@rule(Severity.WARN)
def factor_without_proof(program: Program) -> Iterator[Finding]:
    """A table of response factors that nothing is held against: whether it multiplies or divides is taken on trust.

    Nor is it proved by numbers that are those of a sensor of another principle or another lamp, one by one. Source:
    common practice, no published source: one observation, this much gas and so much shown, tells the two apart; factors
    belong to one kind of sensor.
    """
    # A warn for each sensor whose table has other gases than the one shown, and no proof row; and for a table copied
    sensors = [sensor for sensor in program.sensors.values() if sensor.factors is not None]
    for number, sensor in enumerate(sensors):
        factors = sensor.factors
        if factors is not None and not factors.proof and any(gas != sensor.shows.value for gas in factors.table):
            yield factor_without_proof.found(
                message=f"{sensor.name}: no proof row shows that its factors multiply and are not turned round.",
                where=factors.source.where,
                mend="add under factors: proof: [{gas: ..., there: 50 %LEL, shown: 26 %LEL, source: ...}], from the "
                "document of the factors or from a test of your own",
                subject=f"sensor:{sensor.id}",
            )
        first = next((other for other in sensors[:number] if _copied(other, sensor)), None)
        if factors is not None and first is not None:
            yield factor_without_proof.found(
                message=f"{sensor.name}: its factors are one by one those of {first.name}, a sensor that works in "
                "another way. Nothing shows that they hold for this one.",
                where=factors.source.where,
                mend="take each table from the manual of its own sensor",
                subject=f"sensor:{sensor.id}",
                touches=(f"sensor:{sensor.id}", f"sensor:{first.id}"),
            )


def _copied(one: Sensor, other: Sensor) -> bool:
    """Whether two sensors that work by other means have the same factors of all gases in both tables, two at least."""
    if one.factors is None or other.factors is None or one.shows.value != other.shows.value:
        return False
    both = [gas for gas in one.factors.table if gas in other.factors.table and gas != one.shows.value]
    unlike = one.principle != other.principle or (
        one.lamp is not None and other.lamp is not None and one.lamp.value != other.lamp.value
    )
    return unlike and len(both) > 1 and all(factor_on(one, gas) == factor_on(other, gas) for gas in both)


@rule(Severity.NOTE)
def error_not_stated(program: Program) -> Iterator[Finding]:
    """Sensors of detectors in areas whose error is not stated: no room for it is kept between an alarm and its limit.

    Source: common practice; the manual of a detector states how far its display may lie off.
    """
    # One note for all of them
    carried = (model for area in program.areas.values() for model in program.models_in(area))
    sensors = {sensor.id: sensor for model in carried for _, sensor in program.fitted(model) if sensor.error is None}
    if sensors:
        first = next(iter(sensors.values()))
        yield error_not_stated.found(
            message=f"How far the display may lie off is not known of: "
            f"{short_list([sensor.name for sensor in sensors.values()])}. Whether their alarms leave room for it "
            f"cannot be judged.",
            where=first.where,
            mend="state the error from the manual of the detector: error, with absolute, relative or both",
            touches=tuple(f"sensor:{sensor}" for sensor in sensors),
        )
