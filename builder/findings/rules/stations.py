"""Stations that check units by themselves."""

from collections.abc import Iterator
from operator import itemgetter
from typing import Any

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.day_margins import day_of, past
from builder.figures.figure import day_text
from builder.figures.formulas import clock
from builder.figures.ledger import Ledger
from builder.findings.rule import Caused, rule
from builder.findings.wording import keys, short_list
from builder.program.checks import WITH_GAS
from builder.program.gas_plan import reaches
from builder.program.keys.families import AS_OF, STATION_LEAK_DUE, STATION_LEAK_TESTED, STATION_LOG_UNTIL
from builder.program.program import Program
from builder.program.station_log import LEAK_TEST, TEST, StationRow
from builder.program.stations import Station


@rule(Severity.STOP, Severity.WARN, Severity.NOTE, counted="row", about="page:calibration-gas")
def station_log(program: Program, ledger: Ledger) -> Iterator[Caused]:
    """A test station's own log that is missing, or tells another gas, software, leak test or unit than this handbook.

    Source: common practice, no published source; the station's manual.
    """
    # A stop for gas that is not what is joined and a leak, a warn for the rest, a note for no log
    rows: dict[str, list[StationRow]] = {name: [] for name in program.stations}
    for row in program.station_log:
        name = row.station.value
        if name in rows and row.day <= ledger.today:
            rows[name].append(row)
        elif name not in rows:
            told = f"A log has rows of the station {name!r}, which stations.yaml does not have."
            yield name, _log_tells(ledger, None, Severity.WARN, told, row.where)
    for station in program.stations.values():
        own = rows[station.id]
        yield from _reach(ledger, station, own)
        yield from _gas(program, ledger, station, own)
        yield from _leaks(ledger, station, own)
        yield from _units(program, ledger, station, own)


def _reach(ledger: Ledger, station: Station, rows: list[StationRow]) -> Iterator[Caused]:
    """A log that is not here or ends early, and other software than the content says."""
    name = station.name.value
    if not rows:
        told = (
            f"{name}: nothing of its own log is here. What it gave, to which units, and with what result is not known."
        )
        yield (station.id, "none"), _log_tells(ledger, station, Severity.NOTE, told, station.log.where)
        return
    last = rows[-1]
    if clock.next_due(last.day, station.leak_test.every.value) < ledger.today:
        told = f"{name}: its own log ends on {day_text(last.day)}. What it did since is not known."
        yield (station.id, "end"), _log_tells(ledger, station, Severity.WARN, told, last.where)
    loaded = next((row for row in reversed(rows) if row.software is not None), None)
    if loaded is not None and loaded.software is not None and loaded.software.value != station.software.value:
        told = f"{name}: by its own log it runs the software {loaded.software.value!r} since {day_text(loaded.day)} at "
        told += f"the latest, not {station.software.value!r}."
        yield (station.id, "software"), _log_tells(ledger, station, Severity.WARN, told, loaded.where)


def _gas(program: Program, ledger: Ledger, station: Station, rows: list[StationRow]) -> Iterator[Caused]:
    """The last gas of each inlet beside the cylinder that is joined to it."""
    latest = {row.inlet.value: row for row in rows if row.inlet is not None and row.lot is not None}
    inlets = {inlet.number.value: inlet for inlet in station.inlets}
    for number, row in latest.items():
        inlet, lot = inlets.get(number), row.lot.value if row.lot else ""
        joined = inlet.cylinder if inlet else None
        if joined is not None and program.cylinders[joined.value].lot.value == lot:
            continue
        told = f"{station.name.value}: by its own log inlet {number} gave gas of lot {lot} on {day_text(row.day)}, "
        if inlet is None:
            told += "but stations.yaml has no such inlet."
        elif joined is None:
            told += "but clean air is joined there."
        else:
            own = program.cylinders[joined.value]
            told += f"but cylinder {own.id} of lot {own.lot.value} is joined there: units are judged by another gas."
        yield (station.id, number), _log_tells(ledger, station, Severity.STOP, told, row.where)


def _leaks(ledger: Ledger, station: Station, rows: list[StationRow]) -> Iterator[Caused]:
    tests = [row for row in rows if row.what.value == LEAK_TEST]
    if tests and tests[-1].passed is not True:
        how = "failed" if tests[-1].passed is False else "has no result"
        told = f"{station.name.value}: its last leak test, of {day_text(tests[-1].day)}, {how}. Gas that "
        told += "leaks is drawn in thinner than its label."
        severity = Severity.STOP if tests[-1].passed is False else Severity.WARN
        yield (station.id, "leak"), _log_tells(ledger, station, severity, told, tests[-1].where)


def _units(program: Program, ledger: Ledger, station: Station, rows: list[StationRow]) -> Iterator[Caused]:
    """Units that are not here or not for this station, failures nobody put right, and tests that no record has."""
    with_gas = [record for record in program.records if record.kind.value in WITH_GAS]
    recorded = {(record.unit.value, record.day) for record in with_gas}
    failed = {(one.unit.value, one.day) for one in with_gas if one.result and one.result.value == "fail"}
    passes = [(row.unit.value, row.time.value) for row in rows if row.unit and row.passed]
    passes += [(one.unit.value, one.time.value) for one in with_gas if one.result and one.result.value == "pass"]
    shown = dict(sorted(passes, key=itemgetter(1)))
    served = {given.value for given in station.models}
    for row in rows:
        if row.what.value != TEST or row.unit is None:
            continue
        unit, name, key = program.units.get(row.unit.value), station.name.value, (row.unit.value, row.day)
        if unit is None:
            told = f"{name}: by its own log it tested {row.unit.value}, which the inventory does not have."
            yield (station.id, row.unit.value), _log_tells(ledger, station, Severity.WARN, told, row.where)
        elif unit.model.value not in served:
            told = f"{name}: by its own log it tested {unit.id}, of a model that it is not for."
            yield (station.id, unit.model.value), _log_tells(ledger, station, Severity.WARN, told, row.where)
        elif row.passed is False and key not in failed and shown.get(unit.id, row.time.value) <= row.time.value:
            severity = Severity.STOP if unit.in_use else Severity.WARN
            told = f"{name}: by its own log {unit.id} failed on {day_text(row.day)}, and nothing later shows it good."
            yield (station.id, "failed", unit.in_use), _log_tells(ledger, station, severity, told, row.where)
        elif key not in recorded:
            how = "failed" if row.passed is False else "tested"
            told = f"{name}: by its own log it {how} {unit.id} on {day_text(row.day)}; no record tells of it."
            yield (station.id, "records", how), _log_tells(ledger, station, Severity.WARN, told, row.where)


def _log_tells(ledger: Ledger, station: Station | None, severity: Severity, told: str, where: Where) -> Finding:
    own = (STATION_LOG_UNTIL(station=station.id), STATION_LEAK_TESTED(station=station.id)) if station else ()
    return station_log.found(
        severity=severity,
        message=told,
        where=where,
        figures=keys(*map(ledger.get, own), ledger.get(AS_OF())),
        mend="bring the station, its log and this handbook to say the same; judge again what was tested in between",
    )


@rule(Severity.STOP, Severity.WARN, about="page:calibration-gas")
def station_wrong(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A test station that gives another gas than it was told, none for a sensor of its models, or that may leak.

    Source: common practice; the station's manual.
    """
    # A stop for a wrong inlet and a sensor without gas, a warn for a leak test that has run out
    for station in program.stations.values():
        yield from _inlets(program, station)
        yield from _sensors(program, station)
        yield from _leak(ledger, station)


def _inlets(program: Program, station: Station) -> Iterator[Finding]:
    for inlet in station.inlets:
        if inlet.cylinder is None or inlet.set_to is None:
            continue
        cylinder = program.cylinders[inlet.cylinder.value]
        if cylinder.lot.value != inlet.set_to.value:
            told = f"inlet {inlet.number.value} has cylinder {cylinder.id} of lot {cylinder.lot.value}, but the "
            told += f"station was told lot {inlet.set_to.value}: what it passes or fails is judged by another gas"
            mend = "join the right cylinder, or tell the station what is there"
            yield _wrong(station, Severity.STOP, told, inlet.set_to.where, mend, touches=(f"cylinder:{cylinder.id}",))


def _sensors(program: Program, station: Station) -> Iterator[Finding]:
    held = [program.cylinders[inlet.cylinder.value] for inlet in station.inlets if inlet.cylinder]
    fitted = (sensor for given in station.models for _, sensor in program.fitted(program.models[given.value]))
    without = list(dict.fromkeys(one.name for one in fitted if not any(reaches(cylinder, one) for cylinder in held)))
    if without:
        told = f"no inlet has gas for {short_list(without)}, so it says nothing of these sensors"
        mend = "join a cylinder that holds their gas, or bump those models by hand"
        yield _wrong(station, Severity.STOP, told, station.where, mend)


def _leak(ledger: Ledger, station: Station) -> Iterator[Finding]:
    due = ledger.get(STATION_LEAK_DUE(station=station.id))
    last = day_of(due)
    if due is not None and last is not None and past(last, ledger.today):
        told = f"its leak test held until {due.printed}; gas that leaks is drawn in thinner than its label"
        mend = "test it for leaks, and judge the checks made with it since then"
        figures = keys(due, ledger.get(AS_OF()))
        yield _wrong(station, Severity.WARN, told, station.leak_test.last.where, mend, figures=figures)


def _wrong(station: Station, severity: Severity, told: str, where: Where, mend: str, **more: Any) -> Finding:
    return station_wrong.found(
        severity=severity,
        message=f"{station.name.value}: {told}.",
        where=where,
        mend=mend,
        **more,
    )
