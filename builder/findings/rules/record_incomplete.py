"""Records that leave open what they prove."""

from collections.abc import Iterator
from datetime import datetime, time, timedelta

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import UnitLog
from builder.findings.bumps import EVERY_ALARM
from builder.findings.record_findings import WORDS, row_text, subject
from builder.findings.rule import Caused, rule
from builder.findings.wording import short_list
from builder.program.checks import WITH_GAS
from builder.program.gas_plan import cylinders_for
from builder.program.program import Program
from builder.program.records import Record


@rule(Severity.WARN, counted="row")
def record_incomplete(program: Program, logbook: Logbook) -> Iterator[Caused]:
    """Checks with gas whose records leave open what they prove: with which gas, what was read, or of which sensors.

    A row without a cylinder proves nothing of the gas; a calibration without both readings shows neither what was
    relied on before nor that the adjustment took; one of a new sensor that has not settled does not last. A sensor of
    which no check of a kind is on record, while others of its unit have one, was perhaps never checked, though the unit
    counts as checked. Source: 30 CFR 250.490 (j)(8) for the history of a unit; what a row needs is common practice, no
    published source.
    """
    # A warn for each thing that rows lack, and for each kind of check that sensors of a model lack
    for log in logbook.units.values():
        for record, lack in _lacks(program, log):
            yield lack, _finding(program, record, f"{row_text(program, record)}: {lack}.")
    for name, log in logbook.units.items():
        yield from _never_checked(program, name, log)


def _lacks(program: Program, log: UnitLog) -> Iterator[tuple[Record, str]]:
    """What good rows leave open; a new sensor has nothing to be found, and is to settle first."""
    new: set[str] = set()
    put_in: dict[str, datetime] = {}
    for record, verdict in log.entries:
        sensor = record.sensor.value if record.sensor else ""
        kind = record.kind.value
        if kind == "sensor-change":
            new.add(sensor)
            if record.time.value.time() != time.min:  # else its hour is not told
                put_in[sensor] = record.time.value
        for name in verdict.sensors if verdict.good and kind in WITH_GAS else ():
            if name in put_in and record.time.value < put_in[name] + _settling(program, name):
                yield record, f"its new {program.sensors[name].name} had not settled since it was put in"
        if kind == "use" and (record.as_found or (record.result and record.result.value == "fail")):
            yield record, "it tells a reading or a failure of a day of use, which is judged nowhere"
        passed = verdict.good or (record.result is not None and record.result.value == "pass")
        if passed and kind in WITH_GAS and record.cylinder is None:
            yield record, "it does not say with which cylinder"
        if verdict.good and kind == "calibration" and not sensor:
            yield record, "it names no sensor, so what was found and left is not known"
        elif verdict.good and kind == "calibration":
            if record.as_found is None and sensor not in new:
                yield record, "it does not say what was found before it was adjusted"
            if record.as_left is None:
                yield record, "it does not say what it shows since it was adjusted"
            new.discard(sensor)


def _settling(program: Program, sensor: str) -> timedelta:
    settles = program.sensors[sensor].settles_in
    return timedelta(minutes=float(magnitude(settles.value, "min")) if settles else 0)


def _never_checked(program: Program, name: str, log: UnitLog) -> Iterator[Caused]:
    """Fitted sensors without a check of a kind that others have; a row of the whole unit is of what its gas is for."""
    for kind in WITH_GAS:
        of_kind = [entry for entry in log.entries if entry[0].kind.value == kind]
        seen = {sensor for _, verdict in of_kind for sensor in verdict.sensors} & log.fitted
        if seen and seen != log.fitted:
            missing = short_list([program.sensors[sensor].name for sensor in sorted(log.fitted - seen)])
            told = f"{name}: no {WORDS[kind]} of {missing} is on record, though other sensors of the unit have one."
            yield (program.units[name].model.value, kind, missing), _finding(program, of_kind[-1][0], told)


def _finding(program: Program, record: Record, message: str) -> Finding:
    return record_incomplete.found(
        message=message,
        where=record.where,
        mend="enter what was done, or do the check again and record all of it",
        subject=subject(program, record),
    )


@rule(Severity.WARN, counted="unit", source=EVERY_ALARM)
def cylinder_left_out(program: Program, logbook: Logbook) -> Iterator[Caused]:
    """A unit has several cylinders for a bump test, and no bump test of it with one of them is on record.

    The alarms that only this gas sets off, such as that of too much oxygen, are perhaps never proved, while every
    day counts as tested. Source: the definition of a bump test in OSHA's bulletin of 26 Nov 2024 and before it
    ISEA's: gas strong enough to set off every alarm.
    """
    # A warn for each such cylinder, with every unit
    for name, log in logbook.units.items():
        rows = [record for record, _ in log.entries if record.kind.value == "bump-test" and record.cylinder]
        used = {record.cylinder.value for record in rows if record.cylinder}
        asked = cylinders_for(program, program.units[name], "bump-test")
        for cylinder in asked if rows and program.units[name].in_use and len(asked) > 1 else ():
            if cylinder.id not in used:
                found = cylinder_left_out.found(
                    message=f"{name}: it is bump tested with {', '.join(sorted(used))}, and never with {cylinder.id}. "
                    "What only that gas sets off is not proved.",
                    where=rows[-1].where,
                    mend="give each gas at each bump test and record each, or take the cylinder from the unit",
                    subject=f"unit:{name}",
                )
                yield cylinder.id, found
