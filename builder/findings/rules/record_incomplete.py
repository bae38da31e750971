"""Records that leave open what they prove."""

from collections.abc import Hashable, Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.logbook.units import UnitLog
from builder.findings.record_findings import WORDS, by_cause, row_text, subject
from builder.findings.rule import rule
from builder.findings.wording import COMMON_PRACTICE, short_list
from builder.program.checks import WITH_GAS
from builder.program.program import Program
from builder.program.records import Record


@rule(Severity.WARN)
def record_incomplete(computed: Computed) -> Iterator[Finding]:
    """Checks with gas whose records leave open what they prove: with which gas, what was read, or of which sensors.

    A row without a cylinder proves nothing of the gas; a calibration without both readings shows neither what was
    relied on before nor that the adjustment took. A sensor of which no check of a kind is on record, while others of
    its unit have one, was perhaps never checked, though the unit counts as checked. Source: 30 CFR 250.490 (j)(8) for
    the history of a unit; what a row needs is common practice, no published source.
    """
    # A warn for each thing that rows lack, and for each kind of check that sensors of a model lack
    program = computed.program
    yield from by_cause(
        (lack, _finding(program, record, f"{row_text(program, record)}: {lack}."))
        for log in computed.logbook.units.values()
        for record, lack in _lacks(log)
    )
    yield from by_cause(
        found for name, log in computed.logbook.units.items() for found in _never_checked(program, name, log)
    )


def _lacks(log: UnitLog) -> Iterator[tuple[Record, str]]:
    """What good rows leave open; a new sensor has nothing to be found."""
    new: set[str] = set()
    for record, verdict in log.entries:
        sensor = record.sensor.value if record.sensor else ""
        kind = record.kind.value
        if kind == "sensor-change":
            new.add(sensor)
        if verdict.good and kind in WITH_GAS and record.cylinder is None:
            yield record, "it does not say with which cylinder"
        if verdict.good and kind == "calibration" and sensor:
            if record.as_found is None and sensor not in new:
                yield record, "it does not say what was found before it was adjusted"
            if record.as_left is None:
                yield record, "it does not say what it shows since it was adjusted"
            new.discard(sensor)


def _never_checked(program: Program, name: str, log: UnitLog) -> Iterator[tuple[Hashable, Finding]]:
    """Fitted sensors without a check of a kind that others have; where a row is for the whole unit, all have it."""
    rows = [record for record, _ in log.entries]
    model = program.models[program.units[name].model.value]
    fitted = {position.sensor.value for position in model.positions}
    for kind in WITH_GAS:
        of_kind = [record for record in rows if record.kind.value == kind]
        seen = {record.sensor.value for record in of_kind if record.sensor} & fitted
        if seen and seen != fitted and not any(record.sensor is None for record in of_kind):
            missing = short_list([program.sensors[sensor].name for sensor in sorted(fitted - seen)])
            told = f"{name}: no {WORDS[kind]} of {missing} is on record, though other sensors of the unit have one."
            yield (model.id, kind, missing), _finding(program, of_kind[-1], told)


def _finding(program: Program, record: Record, message: str) -> Finding:
    return record_incomplete.found(
        message=message,
        where=record.where,
        source=COMMON_PRACTICE,
        mend="enter what was done, or do the check again and record all of it",
        subject=subject(program, record),
    )
