"""What holds across the files of a content folder, once each of them is sound: units, models, areas, alarms."""

from builder.base.where import Given
from builder.program.areas import Area
from builder.program.cylinders import judge_gone
from builder.program.faults import Faults
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN


def check_across(program: Program, faults: Faults) -> None:
    """Note every value that does not go with one of another file, which only sound references can show."""
    for model in program.models.values():
        for position, sensor in program.fitted(model):
            wanted = {FLAMMABLE: "%LEL", OXYGEN: "%vol"}.get(sensor.channel.value)
            if wanted and position.unit != wanted:
                found = f"full scale {position.full_scale.text!r} on the {sensor.channel.value} channel"
                faults.add(position.full_scale.where, found, f"a full scale in {wanted}")
    _check_setpoint_units(program, faults)
    for unit in program.units.values():
        for area in program.areas_of_unit(unit) if unit.area and unit.in_use else ():
            _judge_model(
                unit.model, area, f"unit {unit.id!r} of model {unit.model.value!r} in area {area.id!r}", faults
            )
    judge_gone(program.cylinders, program.cylinders_named(), faults)
    _check_fitted(program, faults)
    _check_working_days(program, faults)
    for card in program.cards.values():
        if card.area and card.model:
            found = f"model {card.model.value!r} on a card of area {card.area.value!r}"
            _judge_model(card.model, program.areas[card.area.value], found, faults)


def _judge_model(model: Given[str], area: Area, found: str, faults: Faults) -> None:
    allowed = [given.value for given in area.detectors]
    if model.value not in allowed:
        faults.add(model.where, found, "one of " + ", ".join(allowed))


def _check_fitted(program: Program, faults: Faults) -> None:
    for unit in program.units.values():
        model = program.models[unit.model.value]
        known = [position.sensor.value for position in model.positions]
        for part in unit.sensors:
            if part.sensor.value not in known:
                found = f"sensor {part.sensor.value!r} in unit {unit.id!r} of model {model.id!r}"
                faults.add(part.sensor.where, found, "one of " + ", ".join(known))


def _check_working_days(program: Program, faults: Faults) -> None:
    if program.calendar is None:
        for check in program.checks.values():
            for asked in check.intervals:
                if asked.interval.value.unit == "working-day":
                    found = f"{asked.interval.text!r} without a calendar"
                    faults.missing_file(asked.interval.where, found, "calendar.yaml with the site's working days")


def _check_setpoint_units(program: Program, faults: Faults) -> None:
    for entry in program.setpoints:
        for area in program.areas_of(entry):
            fitted = program.fitted_in(area, entry.channel.value)
            if not fitted and entry.areas is not None:
                found = f"channel {entry.channel.value!r} in area {area.id!r}"
                faults.add(
                    entry.where,
                    found,
                    "a channel that a detector allowed there measures: " + ", ".join(program.channels_in(area)),
                )
            for _, position, _ in fitted:
                most = position.full_scale
                for given in (alarm.value for alarm in entry.alarms.values()):
                    if given.value.dimension != most.value.dimension:
                        faults.number(given.where, f"alarm in {given.text!r}", f"a value in {position.unit}")
                    elif given.value > most.value:
                        faults.range(given.where, f"alarm at {given.text!r}", f"at most the full scale, {most.text}")
