"""A test station that gives another gas than it was told, none for a sensor of its models, or that may leak.

Source: common practice; the station's manual.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.day_margins import day_of, past, today
from builder.findings.sensor_coverage import sees
from builder.findings.wording import COMMON_PRACTICE, keys, short_list
from builder.program.cylinders import Cylinder
from builder.program.keys.families import AS_OF, STATION_LEAK_DUE
from builder.program.program import Program
from builder.program.sensors import Sensor
from builder.program.stations import Station

ID = "station-wrong"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for a wrong inlet and a sensor without gas, a ``warn`` for a leak test that has run out."""
    for station in computed.program.stations.values():
        yield from _inlets(computed.program, station)
        yield from _sensors(computed.program, station)
        yield from _leak(computed, station)


def _inlets(program: Program, station: Station) -> Iterator[Finding]:
    for inlet in station.inlets:
        if inlet.cylinder is None or inlet.set_to is None:
            continue
        cylinder = program.cylinders[inlet.cylinder.value]
        if cylinder.lot.value != inlet.set_to.value:
            told = f"inlet {inlet.number.value} has cylinder {cylinder.id} of lot {cylinder.lot.value}, but the "
            told += f"station was told lot {inlet.set_to.value}: what it passes or fails is judged by another gas"
            mend = "join the right cylinder, or tell the station what is there"
            yield _finding(station, Severity.STOP, told, inlet.set_to.where, mend, f"cylinder:{cylinder.id}")


def _sensors(program: Program, station: Station) -> Iterator[Finding]:
    held = [program.cylinders[inlet.cylinder.value] for inlet in station.inlets if inlet.cylinder]
    fitted = (sensor for given in station.models for _, sensor in program.fitted(program.models[given.value]))
    without = list(dict.fromkeys(sensor.name for sensor in fitted if not _has_gas(held, sensor)))
    if without:
        told = f"no inlet has gas for {short_list(without)}, so it says nothing of these sensors"
        mend = "join a cylinder that holds their gas, or bump those models by hand"
        yield _finding(station, Severity.STOP, told, station.where, mend)


def _has_gas(held: list[Cylinder], sensor: Sensor) -> bool:
    return any(sees(sensor, part.gas.value) for cylinder in held for part in cylinder.components)


def _leak(computed: Computed, station: Station) -> Iterator[Finding]:
    due = computed.ledger.get(STATION_LEAK_DUE(station=station.id))
    last = day_of(due)
    if due is not None and last is not None and past(last, today(computed.ledger)):
        told = f"its leak test held until {due.printed}; gas that leaks is drawn in thinner than its label"
        mend = "test it for leaks, and judge the checks made with it since then"
        yield _finding(
            station,
            Severity.WARN,
            told,
            station.leak_tested.where,
            mend,
            figures=keys(due, computed.ledger.get(AS_OF())),
        )


def _finding(
    station: Station,
    severity: Severity,
    told: str,
    where: Where,
    mend: str,
    touched: str = "",
    *,
    figures: tuple[str, ...] = (),
) -> Finding:
    return Finding(
        rule=ID,
        severity=severity,
        message=f"{station.name.value}: {told}.",
        where=where,
        figures=figures,
        source=COMMON_PRACTICE,
        mend=mend,
        subject="page:calibration-gas",
        touches=(touched,) if touched else (),
    )
