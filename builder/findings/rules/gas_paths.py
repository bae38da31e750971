"""How check gas and clean air reach the sensor."""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import magnitude, same_dimension
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.figures.topics.sampling import slowest
from builder.findings.rule import rule
from builder.findings.wording import channel_words, keys, short_list
from builder.program.checks import Check
from builder.program.clean_air import CleanAir
from builder.program.cylinders import DEMAND_FLOW, FIXED_FLOW, Cylinder
from builder.program.inventory import Unit
from builder.program.keys import families as keyed
from builder.program.keys.family import Family
from builder.program.models import Model
from builder.program.program import Program
from builder.program.sensors import OXYGEN


@rule(Severity.STOP, Severity.WARN)
def regulator_mismatch(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A regulator that does not serve the units it is kept for.

    A pump draws through a regulator of demand flow, or one whose fixed flow is at least its own: with less it draws
    air from beside, or stops. A diffusion unit needs gas pushed at it, which a demand flow regulator never does.

    Source: common practice; the manuals of instrument and regulator.
    """
    # A stop for each cylinder and model that its regulators do not serve, one warn where none is named
    unknown: list[Cylinder] = []
    for cylinder in program.bottles:
        users = _users(program, cylinder)
        if users and not cylinder.regulators:
            unknown.append(cylinder)
            continue
        for model_id, units in users.items():
            why = _why_not(cylinder, program.models[model_id])
            if why:
                yield _finding_of_regulator_mismatch(ledger, cylinder, program.models[model_id], units, why)
    if unknown:
        yield regulator_mismatch.found(
            severity=Severity.WARN,
            message=f"No regulator is named for {short_list([cylinder.id for cylinder in unknown])}: whether gas "
            "reaches the units checked with it is not known.",
            where=unknown[0].where,
            mend="say which are kept for it: regulator: [demand-flow, fixed-flow]",
            touches=tuple(f"cylinder:{cylinder.id}" for cylinder in unknown),
        )


def _users(program: Program, cylinder: Cylinder) -> dict[str, list[Unit]]:
    """Units in use or spare that are checked with it, by model."""
    units = (unit for unit in program.units.values() if unit.checked)
    return grouped((unit for unit in units if unit.checked_with(cylinder.id)), lambda unit: unit.model.value)


def _why_not(cylinder: Cylinder, model: Model) -> str:
    """Why no regulator of a cylinder serves a model; empty where one does."""
    kinds = {given.value for given in cylinder.regulators}
    if model.pump is None:
        return "" if FIXED_FLOW in kinds else "a demand flow regulator gives no gas to a unit without a pump"
    if DEMAND_FLOW in kinds or magnitude(cylinder.flow.value, "L/min") >= magnitude(model.pump.flow.value, "L/min"):
        return ""
    return f"its fixed flow of {cylinder.flow.text} is below the {model.pump.flow.text} that the pump draws"


def _finding_of_regulator_mismatch(
    ledger: Ledger, cylinder: Cylinder, model: Model, units: list[Unit], why: str
) -> Finding:
    return regulator_mismatch.found(
        severity=Severity.STOP,
        message=f"Cylinder {cylinder.id} on {model.name}: {why}; checked with it: "
        f"{short_list([unit.id for unit in units])}.",
        where=cylinder.regulators[0].where,
        figures=keys(
            ledger.get(keyed.CYLINDER_FLOW(cylinder=cylinder.id)), ledger.get(keyed.MODEL_PUMP_FLOW(model=model.id))
        ),
        mend="keep a regulator of the other kind for it, or of more flow",
        touches=(f"cylinder:{cylinder.id}", *(f"unit:{unit.id}" for unit in units)),
    )


OXYGEN_SHOWS = Fraction("20.8"), Fraction(21)
CARBON_DIOXIDE_SHOWS = Fraction(400), Fraction(600)


@rule(Severity.STOP, Severity.WARN, about="page:checks")
def clean_air_doubtful(program: Program, ledger: Ledger, check: Check) -> Iterator[Finding]:
    """A zero whose clean air is none, or one that is still set where the alarm of some area already sounds.

    Air is none with oxygen at another value than that of air, carbon dioxide at zero, a gas above it.

    Source: clean dry air has 20.9 %vol of oxygen (20.95 in the standard atmosphere, ISO 2533) and 430 ppm of carbon
    dioxide (Mauna Loa record, May 2025, seen through accounts of it), outdoors up to about 600; common practice for
    the bounds.
    """
    # A warn for each channel, and a stop for each whose alarm is zeroed away
    for channel, air in check.clean_air.items():
        yield from _alarm_zeroed_away(program, ledger, check, channel, air)
        low, high, unit = _bounds(program, channel)
        if unit and not low <= magnitude(air.shows.value, unit) <= high:
            between = f"{float(low):g} to {float(high):g} {unit}" if high else f"0 {unit}"
            yield clean_air_doubtful.found(
                severity=Severity.WARN,
                message=f"{check.name}: {channel_words(channel)} is to show {air.shows.text} in clean air, "
                f"which holds {between}. After such a zero every reading is off by the difference.",
                where=air.shows.where,
                figures=keys(ledger.get(keyed.CLEAN_AIR_SHOWS(check=check.id, channel=channel))),
                mend="enter what clean air holds",
            )


def _alarm_zeroed_away(
    program: Program, ledger: Ledger, check: Check, channel: str, air: CleanAir
) -> Iterator[Finding]:
    """Where a reading at which an alarm sounds is still within what may be set to clean air.

    A ``stop`` for the second alarm and for that of too little oxygen, a ``warn`` for the first one of another gas.
    """
    refused = ledger.get(keyed.CLEAN_AIR_REFUSED(check=check.id, channel=channel))
    falling = channel == OXYGEN
    for name, called in (("low", "alarm"),) if falling else (("high", "second alarm"), ("low", "first alarm")):
        sounds = [
            (area, alarm)
            for area in program.areas.values()
            if (alarm := ledger.get(keyed.SETPOINT(area=area.id, channel=channel, alarm=name)))
            and refused
            and same_dimension(alarm.printed_amount, refused.unit)
            and _beyond(air, alarm, falling=falling)
        ]
        if not sounds or refused is None:
            continue
        names = short_list([f"{area.name} ({alarm.printed})" for area, alarm in sounds])
        yield clean_air_doubtful.found(
            severity=Severity.WARN if called == "first alarm" else Severity.STOP,
            message=f"{check.name}: {channel_words(channel)} is still set to clean air when it shows "
            f"{refused.printed} beside it, where the {called} already sounds: {names}. The alarm is zeroed away.",
            where=air.refused_beyond.where,
            figures=keys(refused, *(alarm for _, alarm in sounds)),
            mend="refuse the zero before an alarm sounds",
            touches=tuple(f"area:{area.id}" for area, _ in sounds),
        )
        return


def _beyond(air: CleanAir, alarm: Figure, *, falling: bool) -> bool:
    shows, beside = air.shows.value, air.refused_beyond.value
    return shows - beside < alarm.printed_amount if falling else shows + beside > alarm.printed_amount


def _bounds(program: Program, channel: str) -> tuple[Fraction, Fraction, str]:
    if channel == OXYGEN:
        return (*OXYGEN_SHOWS, "%vol")
    gas = program.gases.get(channel)
    if gas is not None and gas.entry.id == "carbon-dioxide":
        return (*CARBON_DIOXIDE_SHOWS, "ppm")
    return Fraction(0), Fraction(0), "%LEL" if channel == "flammable" else "ppm"


@rule(Severity.STOP, Severity.WARN, about="page:checks", source="29 CFR 1910.146 App. B(3); arithmetic")
def gas_time_short(program: Program, ledger: Ledger, check: Check) -> Iterator[Finding]:
    """Gas, or the clean air of a zero, that is there for less time than it needs to reach the sensors and be shown.

    At the inlet that is the time of the slowest sensor; at the end of a hose the time through the hose comes first,
    of the gas and of the alarms. Gas that is shut off before the hose is drawn through proves nothing of what is at
    its other end. A sensor that is zeroed before it has come to rest hides that much gas from then on. Source: 29
    CFR 1910.146 App. B(3), a reading is held for the response time; arithmetic.
    """
    # A stop for gas that never comes through the hose and for a zero, a warn for what fails sound units
    if check.gas_time is None:
        return
    if check.kind == "zero" or check.through_hose is None:
        gas = ledger.get(keyed.CHECK_GAS_TIME(check=check.id))
        times = [(model, slowest(ledger, model)) for model in program.models.values()]
        late = [(model, figure) for model, figure in times if gas and figure and figure.amount > gas.amount]
        if late and gas:
            told = {f"{model.name} needs {figure.printed}": figure for model, figure in late}
            severity = Severity.STOP if check.kind == "zero" else Severity.WARN
            yield _gas_time_short(check, gas, told, "the slowest sensor has not come to rest by then", severity)
    else:
        yield from _through_hoses(program, ledger, check)


def _through_hoses(program: Program, ledger: Ledger, check: Check) -> Iterator[Finding]:
    gas = ledger.get(keyed.CHECK_GAS_TIME(check=check.id))
    alarms = ledger.get(keyed.CHECK_ALARMS_WITHIN(check=check.id))
    lost = _later(program, ledger, keyed.HOSE_DRAW_TIME, gas)
    shown_late = {
        pair: figure for pair, figure in _later(program, ledger, keyed.HOSE_WAIT, gas).items() if pair not in lost
    }
    mute = _later(program, ledger, keyed.HOSE_DRAW_TIME, alarms)
    for stated, late, why, severity in (
        (gas, lost, "shut off before it is through the hose, gas proves nothing of the sensors", Severity.STOP),
        (gas, shown_late, "the gas is not through the hose and shown", Severity.WARN),
        (alarms, mute, "no alarm can sound by then", Severity.WARN),
    ):
        if stated and late:
            told = {f"{pair} needs {figure.printed}": figure for pair, figure in late.items()}
            yield _gas_time_short(check, stated, told, why, severity)


def _later(program: Program, ledger: Ledger, needed: Family, stated: Figure | None) -> dict[str, Figure]:
    """By model and area the time that the hose needs, where it is longer than the one stated."""
    return {
        f"{model.name} in {area.name}": figure
        for area in program.areas.values()
        for model in program.models_in(area)
        if stated is not None
        and (figure := ledger.get(needed(area=area.id, model=model.id)))
        and figure.amount > stated.amount
    }


def _gas_time_short(check: Check, stated: Figure, late: dict[str, Figure], why: str, severity: Severity) -> Finding:
    zeroed = check.kind == "zero"
    what = "alarms come within" if stated.key == keyed.CHECK_ALARMS_WITHIN(check=check.id) else "it lasts"
    at = "clean air" if zeroed else f"gas at the {'end of the hose' if check.through_hose else 'inlet'}"
    return gas_time_short.found(
        severity=severity,
        message=f"{check.name}, {at}: {what} {stated.printed}, but {why}: {short_list(list(late))}.",
        where=check.where if check.gas_time is None else check.gas_time.where,
        figures=keys(stated, *late.values()),
        mend="stay in clean air for longer before the zero is set"
        if zeroed
        else "give gas for longer"
        + (", or give it at the inlet and prove the hose by its flow block" if check.through_hose else ""),
    )
