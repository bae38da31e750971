"""Rows of records that cannot be right."""

from collections.abc import Hashable, Iterator, Mapping
from itertools import chain, groupby

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.figure import day_text
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.findings.record_findings import WORDS, entries, row_text, severity_of
from builder.findings.rule import Caused, rule
from builder.findings.wording import figure_text, keys, short_list
from builder.program.gas_plan import reaches
from builder.program.keys.families import AS_OF, CYLINDER_EXPIRES
from builder.program.program import Program
from builder.program.records import Person, Record


@rule(Severity.WARN, counted="row", about="page:checks")
def record_unknown_unit(program: Program, logbook: Logbook) -> Iterator[Caused]:
    """A record, a movement or a setting read back of a unit that the inventory does not have, or of a sensor it lacks.

    Source: common practice; a record that belongs to nothing proves nothing.
    """
    # A warn for each such unit, or sensor of a model, with all its rows
    records = (record.given(record.unit) for record in logbook.strangers)
    settings = (setting.unit for setting in program.settings if setting.unit.value not in program.units)
    movements = (row.unit for row in program.movements if row.unit.value not in program.units)
    for unit in chain(records, settings, movements):
        found = record_unknown_unit.found(
            message=f"A row names unit {unit.value}, which the inventory does not have.",
            where=unit.where,
            mend="mend the id, or enter the unit in the inventory, as retired if it is gone",
        )
        yield unit.value, found
    rows = [(row.unit.value, row.sensor.value, row.where) for row in program.records if row.sensor]
    rows += [(row.unit.value, row.sensor.value, row.where) for row in program.settings if row.sensor]
    for name, sensor, where in rows:
        known = program.units.get(name)
        model = program.models[known.model.value] if known else None
        if model and all(position.sensor.value != sensor for position in model.positions):
            found = record_unknown_unit.found(
                message=f"A row of {name} is about {program.sensors[sensor].name}: {model.name} has no such sensor, so "
                "it is of another unit or sensor.",
                where=where,
                mend="mend the id of the unit or of the sensor, and look whose the other rows of that hour are",
                subject=f"unit:{name}",
            )
            yield (model.id, sensor), found


@rule(Severity.WARN, counted="row")
def record_unknown_cylinder(program: Program) -> Iterator[Caused]:
    """A check made with a cylinder that the content does not have: its gas cannot be judged.

    Source: common practice; bottles that records name stay in the content until those records are no longer needed.
    """
    # A warn for each such cylinder, with all its rows
    for record in program.records:
        if record.cylinder is not None and record.cylinder.value not in program.cylinders:
            told = f"it names cylinder {record.cylinder.value}, which the content does not have."
            mend = "mend the id, or enter the cylinder with its certificate"
            yield record.cylinder.value, record_unknown_cylinder.of_row(program, record, told, mend=mend)


@rule(Severity.STOP, Severity.WARN, counted="row")
def record_cylinder_expired(program: Program, ledger: Ledger, logbook: Logbook) -> Iterator[Caused]:
    """A check made with a cylinder past its last day, which itself was still good, or before its certificate's day.

    Source: the certificate of the gas.
    """
    # A stop for each cylinder, with all its rows; a warn for those after which a good check followed
    for record, verdict in entries(logbook):
        if verdict.expired and record.cylinder is not None:
            cylinder = program.cylinders[record.cylinder.value]
            key, first = CYLINDER_EXPIRES(cylinder=cylinder.id), cylinder.certified_on
            told = f"was past its last day, {figure_text(ledger, key, cylinder.expires.text)}"
            if first and record.day < first.value:
                told = f"was certified only on {day_text(first.value)}, so it was other gas"
            severity = severity_of(program, logbook, record)
            found = record_cylinder_expired.of_row(
                program,
                record,
                f"cylinder {cylinder.id} {told}.",
                figures=keys(ledger.get(key)),
                source=f"certificate: {cylinder.certificate.value}",
                mend="repeat the check with gas in date, unless that was done; this one proves nothing",
                severity=severity,
            )
            yield (cylinder.id, told, severity), found


@rule(Severity.STOP, Severity.WARN, counted="row")
def record_cylinder_lacks_gas(program: Program, logbook: Logbook) -> Iterator[Caused]:
    """A check made with a cylinder that does not hold its gas: for a bump test any it sees, else what it is set with.

    Source: the certificate of the gas.
    """
    # A stop for each cylinder, with all its rows; a warn for those after which a good check followed
    for record, verdict in entries(logbook):
        if verdict.lacks and record.cylinder is not None:
            cylinder = program.cylinders[record.cylinder.value]
            told, source = (
                f"cylinder {cylinder.id} does not hold gas for it.",
                f"certificate: {cylinder.certificate.value}",
            )
            mend = "find out which cylinder was used, mend the record, or repeat the check"
            severity = severity_of(program, logbook, record)
            found = record_cylinder_lacks_gas.of_row(program, record, told, source=source, mend=mend, severity=severity)
            yield (cylinder.id, severity), found


@rule(Severity.WARN, counted="row")
def record_in_future(program: Program, ledger: Ledger, logbook: Logbook) -> Iterator[Caused]:
    """A record or movement dated after the handbook's day, which therefore proves nothing yet.

    Source: common practice; clocks of instruments go wrong.
    """
    # A warn for each unit, with all its rows
    rows = [(record.unit.value, record.where, row_text(program, record)) for record in logbook.future]
    rows += [
        (row.unit.value, row.where, f"{row.unit.value}, moved on {day_text(start)}")
        for row in program.movements
        if (start := row.start.value.date()) > ledger.today
    ]
    for unit, where, told in rows:
        found = record_in_future.found(
            message=f"{told}: that is after the day this handbook is judged on.",
            where=where,
            figures=keys(ledger.get(AS_OF())),
            mend="mend the date, set the clock that wrote it, or judge the handbook on a later day",
            subject=f"unit:{unit}" if unit in program.units else "page:checks",
        )
        yield unit, found


@rule(Severity.WARN, counted="row")
def record_doubled(program: Program) -> Iterator[Caused]:
    """A row of a record file that says the same as an earlier one of the same moment: one test, counted twice.

    Source: common practice; a file exported twice, or a row copied by hand.
    """
    # A warn for each unit, with all its doubled rows
    for first, second in _doubled(program.records):
        told = f"the row says the same as {first.where} does. Both are counted as tests."
        mend = "take the second row out, or mend what was copied wrongly"
        yield second.unit.value, record_doubled.of_row(program, second, told, mend=mend)


def _doubled(records: tuple[Record, ...]) -> Iterator[tuple[Record, Record]]:
    """The first and each further row that says the same; records come by time."""
    for _, same in groupby(records, key=lambda record: record.time.value):
        seen: dict[Hashable, Record] = {}
        for record in same:
            first = seen.setdefault(_said(record), record)
            if first is not record:
                yield first, record


def _said(record: Record) -> Hashable:
    """Everything a row says but its note."""
    cells = (record.sensor, record.cylinder, record.as_found, record.as_left, record.seconds, record.result, record.by)
    return (record.unit.value, record.what, tuple(cell and cell.value for cell in cells))


@rule(Severity.WARN, counted="row", source="the site's own register; 30 CFR 250.490(j)(6)(i) on trained testers")
def record_not_authorised(program: Program) -> Iterator[Caused]:
    """A record by someone who is not in the register, may not make that kind, or was not authorised on that day.

    Only where the site keeps its register here; a use without a name is not judged. Source: the site's own
    register; 30 CFR 250.490(j)(6)(i) asks for testers trained on the equipment.
    """
    # A warn for each person and reason, with all rows
    for record in program.records if program.people is not None else ():
        fault = _fault(record, program.people or {})
        mend = "repeat the check by someone authorised, or bring the register up to date"
        if fault:
            yield fault, record_not_authorised.of_row(program, record, f"{fault}.", mend=mend)


def _fault(record: Record, people: Mapping[str, Person]) -> str:
    if record.by is None:
        return "" if record.kind.value == "use" else "it does not say who made it"
    person = people.get(record.by.value)
    if person is None:
        return f"{record.by.value} is not in the register"
    if all(kind.value != record.kind.value for kind in person.kinds):
        return f"{person.id} may not make a record of kind {WORDS[record.kind.value]}"
    if record.day < person.start.value:
        return f"{person.id} was authorised only from {day_text(person.start.value)}"
    over = record.day > person.until.value
    return f"{person.id} was authorised only until {day_text(person.until.value)}" if over else ""


@rule(Severity.STOP)
def cylinder_wrong(program: Program) -> Iterator[Finding]:
    """A unit in use is given a cylinder that none of its sensors sees: whatever is checked with it proves nothing.

    Source: common practice; a check with gas sends gas that the sensor sees.
    """
    wrong: dict[tuple[str, str], list[tuple[str, Where]]] = {}
    for unit in program.units.values():
        sensors = [sensor for _, sensor in program.fitted(program.models[unit.model.value])]
        for given in unit.cylinders if unit.in_use else ():
            if not any(reaches(program.cylinders[given.value], sensor) for sensor in sensors):
                wrong.setdefault((unit.model.value, given.value), []).append((unit.id, given.where))
    for (model, cylinder), units in wrong.items():
        yield cylinder_wrong.found(
            message=f"Cylinder {cylinder} holds nothing that any sensor of {program.models[model].name} sees; checked "
            f"with it: {short_list([unit for unit, _ in units])}.",
            where=units[0][1],
            mend="name the cylinder whose gas its sensors see",
            touches=(f"cylinder:{cylinder}", *(f"unit:{unit}" for unit, _ in units)),
        )
