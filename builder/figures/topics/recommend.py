"""What as-found readings of a sensor teach: drift, the interval they support, span left and its end."""

from datetime import date
from fractions import Fraction

from builder.base.quantity import Quantity, quantity
from builder.base.record import dataclass
from builder.base.rounding import Direction, Rounding, plain
from builder.base.where import Given
from builder.figures.figure import Figure, day_text
from builder.figures.formulas import clock, history, life, rhythm
from builder.figures.formulas.trend import FEWEST
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.readings import Reading, readings_of
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import away_from_zero
from builder.figures.terms import Term, exactly, given, listing, written
from builder.figures.topics.gas_checks import step_of
from builder.figures.topics.intervals import counted_terms
from builder.program.checks import Adjust, Check
from builder.program.interval import Interval
from builder.program.inventory import Unit
from builder.program.keys import families as keyed
from builder.program.program import Program

MOST = 12
"""Readings of a sensor that are looked at, the latest ones; older ones say little of what it does now."""
COMPARED = ("calibration", "calibration-check")
"""Kinds of check that take a steady reading before adjustment; a bump test is too short for one."""
DRIFT = away_from_zero("a drift")
DAYS = Rounding(direction=Direction.DOWN, step=Fraction(1), why="an interval is never printed longer than it is")


@dataclass(frozen=True, slots=True, kw_only=True)
class _SensorHistory:
    """One sensor of one unit, with its readings."""

    unit: Unit
    sensor: str
    readings: tuple[Reading, ...]
    display: str
    key: str
    label: str

    def shown(self, value: Fraction) -> Quantity:
        """A reading with the unit of its display."""
        return quantity(value, self.display)


def compute(recorder: FigureRecorder, book: Logbook) -> None:
    """Enter ``unit.<unit>.<sensor>.drift``, ``.next-interval``, ``.span-left`` and ``.span-end``."""
    for unit in recorder.program.units.values():
        log = book.units.get(unit.id)
        if log is not None and unit.checked:
            for sensor, readings in readings_of(book, log, kinds_of(recorder.program)).items():
                with recorder.at(readings[-1].record.where):
                    _sensor(recorder, book, unit, sensor, readings)


def kinds_of(program: Program) -> frozenset[str]:
    """Kinds of check whose as-found readings are compared."""
    return frozenset((*COMPARED, *(check.kind for check in program.checks.values() if check.adjust)))


def _sensor(recorder: FigureRecorder, book: Logbook, unit: Unit, sensor: str, readings: tuple[Reading, ...]) -> None:
    display = step_of(recorder, recorder.program.sensors[sensor])
    name = f"{recorder.program.sensors[sensor].name} in {unit.id}"
    days = {reading.record.day for reading in readings}
    if display is None or len(readings) < FEWEST or len(days) == 1:
        return
    latest = readings[-MOST:]
    if len({reading.record.day for reading in latest}) == 1:
        return
    case = _SensorHistory(
        unit=unit,
        sensor=sensor,
        readings=latest,
        display=display[0],
        key=keyed.UNIT_DRIFT.start(unit=unit.id, sensor=sensor),
        label=name,
    )
    key, label = keyed.UNIT_DRIFT.on(case.key), f"Drift in one day of {case.label}"
    note = f"n = {len(case.readings)}; each reading less its expected display and less all earlier adjustments"
    recorder.derived(key, label, case.display, DRIFT, history.drift, *_readings(recorder, case), note=note)
    check = next((check for check in recorder.program.checks.values() if check.adjust), None)
    if check is not None and check.adjust is not None:
        _interval(recorder, book, case, check, check.adjust)
    _span(recorder, case, readings)


def _readings(recorder: FigureRecorder, case: _SensorHistory) -> tuple[Term, list[Term], Term, list[Term]]:
    """Days, readings as found, as left, and expected displays: one for all where it is the same."""
    days = [reading.record.day for reading in case.readings]
    found = [
        written(f"as found on {record.day.isoformat()}", record.given(record.as_found), case.shown(reading.found))
        for reading in case.readings
        if (record := reading.record).as_found is not None
    ]
    left = [reading.left for reading in case.readings]
    expected = [keyed.WINDOW_EXPECTED.on(reading.window.key) for reading in case.readings]
    return (
        listing("days of these readings", days, [day_text(day) for day in days], source="records"),
        found,
        listing(
            "as left, in the same order",
            [case.shown(value) for value in left],
            [plain(value) for value in left],
            case.display,
            source="records; where a calibration does not say, as expected",
        ),
        [exactly(recorder.ledger[key]) for key in (expected[:1] if len(set(expected)) == 1 else expected)],
    )


def _interval(recorder: FigureRecorder, book: Logbook, case: _SensorHistory, check: Check, adjust: Adjust) -> None:
    done, due = (
        recorder.ledger.get(family(unit=case.unit.id, check=check.id)) for family in (keyed.UNIT_LAST, keyed.UNIT_DUE)
    )
    tolerance = recorder.ledger[keyed.WINDOW_HALF_WIDTH.on(case.readings[-1].window.key)]
    if done is None or due is None or tolerance.number <= 0:
        return
    if not (isinstance(done.exact, date) and isinstance(due.exact, date) and done.exact < due.exact):
        return
    found = _found(recorder, case, check, adjust, tolerance)
    recorder.derived(
        keyed.UNIT_NEXT_INTERVAL.on(case.key),
        f"Recommended interval of {check.name}, {case.label}",
        "days",
        DAYS,
        history.bounded,
        found,
        _bound(recorder, check, "least", adjust.least),
        _bound(recorder, check, "most", adjust.most),
        _allowed(recorder, book, case, check, done.exact),
        note="a recommendation; the plan's own interval stays in force until the site changes it",
    )


SOFT = ("site", "guidance")
"""Who asks for intervals that history may argue with."""


def _bound(recorder: FigureRecorder, check: Check, name: str, interval: Given[Interval]) -> Term:
    """A bound that the site sets, in days; the same for all sensors."""
    key = {"least": keyed.CHECK_ADJUST_LEAST, "most": keyed.CHECK_ADJUST_MOST}[name](check=check.id)
    made = recorder.ledger.get(key) or recorder.derived(
        key,
        f"Interval of {check.name} adjusted to at {name}",
        "days",
        DAYS,
        rhythm.fewest_days,
        written(name, interval),
    )
    return exactly(made, name)


def _allowed(recorder: FigureRecorder, book: Logbook, case: _SensorHistory, check: Check, last: date) -> Term | None:
    """How long law, manufacturer and area allow; nothing where they ask nothing."""
    asked = [asked for asked in check.asked_of(case.unit) if asked.by.value not in SOFT]
    if not asked:
        return None
    allowed = recorder.derived(
        keyed.UNIT_NEXT_INTERVAL_ALLOWED.on(case.key),
        f"Interval that law, manufacturer and area allow, {case.label}",
        "days",
        DAYS,
        rhythm.days_allowed,
        [written(f"{one.by.value} asks", one.interval) for one in asked],
        recorder.ledger[keyed.UNIT_LAST(unit=case.unit.id, check=check.id)],
        *counted_terms(recorder, book, case.unit, [one.interval.value for one in asked], last),
    )
    return exactly(allowed)


def _found(recorder: FigureRecorder, case: _SensorHistory, check: Check, adjust: Adjust, tolerance: Figure) -> Figure:
    key, label = keyed.UNIT_NEXT_INTERVAL_FOUND.on(case.key), f"Interval that readings support, {case.label}"
    if adjust.method.value == "control-chart":
        readings = _readings(recorder, case)
        return recorder.derived(
            key, label, "days", DAYS, history.steady_interval, *readings, exactly(tolerance, "permitted error")
        )
    last, before = case.readings[-1].record, case.readings[-2].record
    in_force = recorder.derived(
        keyed.UNIT_NEXT_INTERVAL_IN_FORCE.on(case.key),
        f"Interval of {check.name} in force, {case.label}",
        "days",
        None,
        clock.days_left,
        recorder.ledger[keyed.UNIT_DUE(unit=case.unit.id, check=check.id)],
        recorder.ledger[keyed.UNIT_LAST(unit=case.unit.id, check=check.id)],
    )
    run = recorder.derived(
        keyed.UNIT_NEXT_INTERVAL_RUN.on(case.key),
        f"Days between the last two readings, {case.label}",
        "days",
        None,
        clock.days_left,
        written("last check", last.given(last.time), last.day),
        written("the one before", before.given(before.time), before.day),
    )
    error = _error(recorder, case)
    return recorder.derived(
        key,
        label,
        "days",
        DAYS,
        history.staircase,
        exactly(in_force, "interval in force"),
        run,
        error,
        exactly(tolerance, "permitted error"),
    )


def _error(recorder: FigureRecorder, case: _SensorHistory) -> Figure:
    last = case.readings[-1]
    as_found = last.record.as_found
    return recorder.derived(
        keyed.UNIT_NEXT_INTERVAL_ERROR.on(case.key),
        f"Error as found at the last reading, {case.label}",
        case.display,
        DRIFT,
        history.as_found_error,
        written("as found", last.record.given(as_found), case.shown(last.found)) if as_found else None,
        recorder.ledger[keyed.WINDOW_EXPECTED.on(last.window.key)],
    )


def _span(recorder: FigureRecorder, case: _SensorHistory, readings: tuple[Reading, ...]) -> None:
    """Span left since the first reading on record of this sensor."""
    found, left = [later.found for later in readings[1:]], [earlier.left for earlier in readings[:-1]]
    if min(*found, *left) <= 0:
        return
    first, last = readings[0].record, readings[-1].record
    span = recorder.derived(
        keyed.UNIT_SPAN_LEFT.on(case.key),
        f"Span left of {case.label}",
        "%",
        Rounding(direction=Direction.DOWN, step=Fraction(1), why="stock is never printed larger than it is"),
        life.span_left,
        _signals(case, "as found, all but the first", found),
        _signals(case, "as left at the check before each", left),
        beside=[given("first reading", first.given(first.time)), given("last reading", last.given(last.time))],
        note=f"since the first reading on record, n = {len(readings)}",
    )
    least = recorder.program.sensors[case.sensor].least_span
    if least is None or span.number >= 100 or first.day == last.day:  # noqa: PLR2004 - percent
        return
    recorder.derived(
        keyed.UNIT_SPAN_END.on(case.key),
        f"Span of {case.label} enough until",
        "",
        None,
        life.span_end,
        written("first reading", first.given(first.time), first.day),
        written("last reading", last.given(last.time), last.day),
        span,
        written("least span", least),
        note="if it goes on as it did; check gas alone shows whether it does",
    )


def _signals(case: _SensorHistory, label: str, values: list[Fraction]) -> Term:
    shown = [case.shown(value) for value in values]
    return listing(label, shown, [plain(value) for value in values], case.display, source="records")
