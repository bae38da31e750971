"""A fitted sensor that is older than its stated life, in a unit that may be used.

The later of the day in the inventory and a recorded change counts. Source: the life the site states for that kind of
sensor.
"""

from collections.abc import Iterator
from datetime import date

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import past, today
from builder.figures.figure import day_text
from builder.figures.formulas.clock import next_due
from builder.figures.ledger import Ledger
from builder.findings.record_findings import by_cause
from builder.findings.wording import keys
from builder.program.inventory import CHECKED_STATES, FittedSensor, Unit
from builder.program.keys.families import SENSOR_LIFE
from builder.program.program import Program

ID = "sensor-past-life"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each kind of sensor, with every unit."""
    yield from by_cause(_judged(computed), "unit")


def _judged(computed: Computed) -> Iterator[tuple[str, Finding]]:
    program, ledger, book = computed.program, computed.ledger, computed.logbook
    now = today(ledger)
    for unit in program.units.values():
        log = book.units.get(unit.id)
        for part in unit.sensors if unit.state.value in CHECKED_STATES else ():
            changed = log.changed.get(part.sensor.value) if log else None
            start = max((day for day in (changed, part.fitted.value if part.fitted else None) if day), default=None)
            if start is None:
                continue
            life = program.sensors[part.sensor.value].life.value
            end = next_due(start, life)
            if past(end, now):
                yield part.sensor.value, _finding(program, ledger, unit, part, end)


def _finding(program: Program, ledger: Ledger, unit: Unit, part: FittedSensor, end: date) -> Finding:
    sensor = program.sensors[part.sensor.value]
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"Unit {unit.id}: the life of its {sensor.name}, {sensor.life.text}, ended on {day_text(end)}.",
        where=part.where,
        figures=keys(ledger.get(SENSOR_LIFE(sensor=sensor.id))),
        source="life stated for that kind of sensor in sensors.yaml",
        mend="change the sensor, calibrate, and record both",
        subject=f"unit:{unit.id}",
    )
