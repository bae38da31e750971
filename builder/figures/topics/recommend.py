"""What as-found readings of a sensor teach: drift, the interval they support, span left and its end."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from builder.base.quantity import Quantity, quantity
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure, Input
from builder.figures.formulas import history, life
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import UnitLog
from builder.figures.logbook.verdicts import ADJUSTS, window_for
from builder.figures.logbook.windows import Window
from builder.figures.recorder import FigureRecorder, given, of
from builder.figures.topics.gas_checks import step_of
from builder.figures.topics.intervals import last_good, terms
from builder.program.checks import Adjust, Check
from builder.program.interval import NOMINAL, Interval
from builder.program.inventory import CHECKED_STATES, Unit
from builder.program.records import Record

MOST = 12
"""Readings of a sensor that are looked at, the latest ones; older ones say little of what it does now."""
COMPARED = ("calibration", "calibration-check")
"""Kinds of check that take a steady reading before adjustment; a bump test is too short for one."""
DAYS = Rounding(direction=Direction.DOWN, step=Fraction(1), why="an interval is never printed longer than it is")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One as-found reading of one sensor."""

    record: Record
    window: Window
    found: Fraction
    left: Fraction
    """As left; the expected display where a calibration does not say."""
    unadjusted: Fraction
    """Error as it would be had nobody ever adjusted the sensor."""

    @property
    def error(self) -> Fraction:
        """Reading less expected display."""
        return self.found - self.window.expected


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """One sensor of one unit, with its readings."""

    unit: Unit
    sensor: str
    readings: tuple[Reading, ...]
    display: str
    key: str
    label: str


def compute(recorder: FigureRecorder, book: Logbook) -> None:
    """Enter ``unit.<unit>.<sensor>.drift``, ``.next-interval``, ``.span-left`` and ``.span-end``."""
    for unit in recorder.program.units.values():
        log = book.units.get(unit.id)
        if log is not None and unit.state.value in CHECKED_STATES:
            for sensor, readings in readings_of(book, log, kinds_of(recorder)).items():
                with recorder.at(readings[-1].record.where):
                    _sensor(recorder, book, unit, sensor, readings)


def kinds_of(recorder: FigureRecorder) -> frozenset[str]:
    """Kinds of check whose as-found readings are compared."""
    adjusted = {check.kind for check in recorder.program.checks.values() if check.adjust}
    return frozenset((*COMPARED, *adjusted))


def readings_of(book: Logbook, log: UnitLog, kinds: frozenset[str]) -> dict[str, tuple[Reading, ...]]:
    """As-found readings by sensor since it was last changed, all adjustments between them taken out."""
    made: dict[str, list[Reading]] = {}
    adjusted: dict[str, Fraction] = {}
    for record, verdict in log.entries:
        sensor = record.sensor.value if record.sensor else ""
        if record.kind.value == "sensor-change":
            made.pop(sensor, None)
            adjusted.pop(sensor, None)
        if record.kind.value not in kinds or record.as_found is None or verdict.expired or verdict.lacks:
            continue
        window = window_for(record, book.windows)
        if window is None:
            continue
        found, sum_before = record.as_found.value, adjusted.get(sensor, Fraction(0))
        left = record.as_left.value if record.as_left else found
        if record.as_left is None and record.kind.value in ADJUSTS:
            left = window.expected
        unadjusted = found - window.expected - sum_before
        made.setdefault(sensor, []).append(
            Reading(record=record, window=window, found=found, left=left, unadjusted=unadjusted)
        )
        adjusted[sensor] = sum_before + left - found
    return {sensor: tuple(readings) for sensor, readings in made.items()}


def _sensor(recorder: FigureRecorder, book: Logbook, unit: Unit, sensor: str, readings: tuple[Reading, ...]) -> None:
    display = step_of(recorder, recorder.program.sensors[sensor])
    name = f"{recorder.program.sensors[sensor].name} in {unit.id}"
    days = {reading.record.day for reading in readings}
    if display is None or len(readings) < history.FEWEST or len(days) == 1:
        return
    latest = readings[-MOST:]
    if len({reading.record.day for reading in latest}) == 1:
        return
    case = _Case(
        unit=unit,
        sensor=sensor,
        readings=latest,
        display=display[0],
        key=f"unit.{unit.id}.{sensor}",
        label=name,
    )
    drift = _drift(recorder, case)
    check = next((check for check in recorder.program.checks.values() if check.adjust), None)
    if check is not None and check.adjust is not None:
        _interval(recorder, book, case, check, check.adjust, drift)
    _span(recorder, case, readings)


def _points(case: _Case) -> tuple[list[Fraction], list[Fraction]]:
    first = case.readings[0].record.day
    days = [Fraction((reading.record.day - first).days) for reading in case.readings]
    return days, [reading.unadjusted for reading in case.readings]


def _drift(recorder: FigureRecorder, case: _Case) -> Figure:
    line = history.trend(*_points(case))
    direction = Direction.DOWN if line.slope < 0 else Direction.UP
    rounding = Rounding(direction=direction, digits=2, why="a drift is never printed smaller than it is")
    inputs = [
        given(f"as found on {reading.record.day.isoformat()}", reading.record.as_found)
        for reading in case.readings
        if reading.record.as_found is not None
    ]
    last = case.readings[-1]
    return recorder.number(
        f"{case.key}.drift",
        f"Drift in one day of {case.label}",
        quantity(line.slope, case.display),
        case.display,
        rounding,
        history.trend,
        [*inputs, of(recorder.ledger[f"{last.window.key}.expected"])],
        note=f"n = {line.count}; each reading less its expected display and less all earlier adjustments",
    )


def _interval(
    recorder: FigureRecorder, book: Logbook, case: _Case, check: Check, adjust: Adjust, drift: Figure
) -> None:
    last = last_good(case.unit, check, book.units.get(case.unit.id))
    asked = terms(recorder, book, case.unit, check, last)
    tolerance = half_width(case.readings[-1].window)
    if last is None or not asked or asked[0].due is None or tolerance <= 0:
        return
    force = quantity((asked[0].due - last).days, "days")
    if force.magnitude <= 0:
        return
    allowed = min((term.due for term in asked if term.due and term.asked.by.value in ("law", "manufacturer", "area")),
                  default=None)  # fmt: skip
    found = _found(recorder, case, check, adjust, drift, force)
    inputs = [of(found), given("least", adjust.least), given("most", adjust.most)]
    inputs += [given(f"{t.asked.by.value} asks", t.asked.interval) for t in asked if t.asked.by.value not in SOFT]
    least, most = (quantity(days, "days") for days in (shortest(adjust.least.value), shortest(adjust.most.value)))
    bound = quantity(max((allowed - last).days, 0), "days") if allowed else most
    recorder.number(
        f"{case.key}.next-interval",
        f"Recommended interval of {check.name}, {case.label}",
        history.bounded(found.amount, least, most, bound),
        "days",
        DAYS,
        history.bounded,
        inputs,
        note="a recommendation; the plan's own interval stays in force until the site changes it",
    )


SOFT = ("site", "guidance")
"""Who asks for intervals that history may argue with."""


def half_width(window: Window) -> Fraction:
    """The permitted error on the narrower side, any guard band taken off."""
    return min(window.high - window.expected, window.expected - window.low)


def shortest(interval: Interval) -> Fraction:
    """Whole days that an interval in calendar time always has: a month counts 28, a year 365."""
    return interval.count * {"month": Fraction(28), "year": Fraction(365)}.get(interval.unit, NOMINAL[interval.unit])


def _found(
    recorder: FigureRecorder, case: _Case, check: Check, adjust: Adjust, drift: Figure, force: Quantity
) -> Figure:
    last, before = case.readings[-1], case.readings[-2]
    key, label = f"{case.key}.next-interval.found", f"Interval that readings support, {case.label}"
    inputs = [of(drift), of(recorder.ledger[f"{last.window.key}.from"]), of(recorder.ledger[f"{last.window.key}.to"])]
    tolerance = half_width(last.window)
    if adjust.method.value == "control-chart":
        days = history.control_chart(*_points(case), tolerance)
        return recorder.number(key, label, quantity(days, "days"), "days", DAYS, history.control_chart, inputs)
    run = quantity((last.record.day - before.record.day).days, "days")
    value = history.staircase(force, run, quantity(last.error, case.display), quantity(tolerance, case.display))
    inputs.append(of(recorder.ledger[f"unit.{case.unit.id}.{check.id}.interval"], "interval in force"))
    inputs += [given("last check", last.record.time), given("the one before", before.record.time)]
    if last.record.as_found is not None:
        inputs.append(given("as found", last.record.as_found))
    return recorder.number(key, label, value, "days", DAYS, history.staircase, inputs)


def _span(recorder: FigureRecorder, case: _Case, readings: tuple[Reading, ...]) -> None:
    """Span left since the first reading on record of this sensor."""
    pairs = list(pairwise(readings))
    if any(earlier.left <= 0 or later.found <= 0 for earlier, later in pairs):
        return
    share = life.span_left([later.found / earlier.left for earlier, later in pairs])
    first, last = readings[0].record, readings[-1].record
    left = recorder.number(
        f"{case.key}.span-left",
        f"Span left of {case.label}",
        quantity(share, "%"),
        "%",
        Rounding(direction=Direction.DOWN, step=Fraction(1), why="stock is never printed larger than it is"),
        life.span_left,
        _ends(first, last),
        note=f"since the first reading on record, n = {len(readings)}",
    )
    least = recorder.program.sensors[case.sensor].least_span
    if least is None or share >= 100 or first.day == last.day:  # noqa: PLR2004 - percent
        return
    elapsed = quantity((last.day - first.day).days, "days")
    recorder.day(
        f"{case.key}.span-end",
        f"Span of {case.label} enough until",
        life.span_end(last.day, quantity(share, "%"), least.value, elapsed),
        life.span_end,
        [of(left), given("least span", least), *_ends(first, last)],
        note="if it goes on as it did; check gas alone shows whether it does",
    )


def _ends(first: Record, last: Record) -> list[Input]:
    return [given("first reading", first.time), given("last reading", last.time)]
