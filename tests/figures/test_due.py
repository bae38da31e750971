"""Terms of checks by every way of counting, by calendars on the wall, and what check gas is left, by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest

from builder.base.quantity import quantity
from builder.base.where import Given, Where
from builder.figures.compute import compute
from builder.figures.due_checks import State, due_checks
from builder.figures.logbook.fitness import fit_on
from builder.load.content import load_content
from builder.pages.blocks import Text
from builder.pages.label_kinds import unit_labels
from builder.program.calendar import Calendar
from builder.program.checks import Adjust, AskedInterval
from builder.program.faults import Faults
from builder.program.interval import interval_of
from builder.program.inventory import FittedSensor
from builder.program.read import read_program
from builder.reference.library import library
from tests.findings.scale import given, row

AS_OF = date(2026, 11, 25)
CAL, BUMP = "calibration", "bump-test"


@pytest.fixture(name="program", scope="module")
def _program(site):
    """The small sound site without any record."""
    documents, problems = load_content(site)
    return replace(read_program(documents, problems, library()), records=())


def asked(program, text, by="site", areas=()):
    where = program.checks[CAL].where
    interval = interval_of(Given(text, where, text), Faults())
    names = tuple(Given(area, where, area) for area in areas)
    return AskedInterval(interval=interval, by=Given(by, where, by), areas=names,
                         reason=Given(f"{by} says so", where, ""), source=Given("invented", where, ""))  # fmt: skip


def planned(program, *intervals, last=None, records=(), **more):
    check = replace(program.checks[CAL], intervals=intervals, **more)
    unit = program.units["d-001"]
    days = {key: value for key, value in unit.last.items() if key != CAL}
    if last is not None:
        days[CAL] = Given(last, unit.where, last.isoformat())
    rows = tuple(replace(record, where=Where("records/made.csv", n)) for n, record in enumerate(records, start=2))
    return replace(program, checks={**program.checks, CAL: check},
                   units={**program.units, "d-001": replace(unit, last=days)}, records=rows)  # fmt: skip


def due(program, as_of=AS_OF):
    figure = compute(program, as_of).ledger.get("unit.d-001.calibration.due")
    return figure.exact if figure else None


def at(day, hour=6):
    return datetime(2026, 11, day, hour, tzinfo=UTC)


def calibrated(day, result="pass", **more):
    return row(day, "d-001", at(day), CAL, result=result, **more)


@pytest.mark.parametrize(
    ("texts", "last", "expected"),
    [
        # The stricter of 180 days and 6 months: 31 August + 180 days is 27 February, 6 months the 28th.
        (["6 months", "180 days"], date(2026, 8, 31), date(2027, 2, 27)),
        # 30 days and 1 month, over a month of 31 and over one of 28 days.
        (["1 month", "30 days"], date(2026, 10, 31), date(2026, 11, 30)),
        (["30 days", "1 month"], date(2027, 1, 31), date(2027, 2, 28)),
        # Over a leap day: 29 February 2028 + 1 year; 31 January 2028 + 1 month.
        (["1 year", "400 days"], date(2028, 2, 29), date(2029, 2, 28)),
        (["1 month"], date(2028, 1, 31), date(2028, 2, 29)),
        (["each day of use", "180 days"], date(2026, 11, 20), date(2026, 11, 20)),
    ],
)
def test_the_strictest_counts(program, texts, last, expected):
    made = planned(program, *(asked(program, text) for text in texts), last=last)
    assert due(made, max(AS_OF, last)) == expected


def test_the_reason_of_the_strictest_is_told(program):
    made = planned(program, asked(program, "6 months", "law"), asked(program, "90 days", "manufacturer"),
                   asked(program, "30 days", "area", ["store"]), last=date(2026, 11, 1))  # fmt: skip
    figure = compute(made, AS_OF).ledger["unit.d-001.calibration.interval"]
    assert (figure.text, figure.note) == ("90\u00a0days", "manufacturer: manufacturer says so")
    assert [part.label for part in figure.inputs if part.parameter == "intervals"] == ["manufacturer asks", "law asks"]
    assert due(made) == date(2027, 1, 30)


WEEK = frozenset(range(5))


@pytest.mark.parametrize(
    ("count", "holidays", "expected"),
    [
        # From Wednesday 25 November 2026: Thu 26, Fri 27, Mon 30, Tue 1, Wed 2.
        (1, [], date(2026, 11, 26)),
        (3, [], date(2026, 11, 30)),
        (3, [date(2026, 11, 26)], date(2026, 12, 1)),
        (20, [date(2026, 11, 26), date(2026, 12, 25)], date(2026, 12, 24)),
        (21, [date(2026, 11, 26), date(2026, 12, 25)], date(2026, 12, 28)),
    ],
)
def test_working_days(program, count, holidays, expected):
    where = program.checks[CAL].where
    calendar = Calendar(zone=given("UTC", where), working_days=WEEK, holidays=frozenset(holidays), where=where)
    made = planned(program, asked(program, f"{count} working days"), last=AS_OF)
    assert due(replace(made, calendar=calendar)) == expected


@pytest.mark.parametrize(
    ("used", "expected"),
    [
        # Five days of use from 1 November on; today is the 25th, and use on every day to come is assumed.
        ([2, 5, 9], date(2026, 11, 26)),
        ([2, 5, 9, 25], date(2026, 11, 26)),
        ([1, 2, 5, 9, 11, 20], date(2026, 11, 11)),
        ([2, 2, 5, 5, 9], date(2026, 11, 26)),
    ],
)
def test_days_of_use(program, used, expected):
    records = [row(day, "d-001", at(day, 9), "use") for day in used]
    assert due(planned(program, asked(program, "5 days of use"), last=date(2026, 11, 1), records=records)) == expected


def test_where_no_use_is_recorded_every_day_counts(program):
    assert due(planned(program, asked(program, "5 days of use"), last=date(2026, 11, 1))) == date(2026, 11, 5)


def test_a_unit_that_goes_to_several_areas_is_due_by_the_strictest_of_all(program):
    """What is asked where it is wet holds for whoever carries it there, wherever it is kept."""
    made = planned(
        program, asked(program, "90 days"), asked(program, "30 days", "area", ["store"]), last=date(2026, 11, 1)
    )
    unit = made.units["d-001"]
    assert due(made) == date(2027, 1, 30)
    also = replace(unit, also_in=(given("store", unit.where),))
    assert due(replace(made, units={**made.units, "d-001": also})) == date(2026, 12, 1)


def test_the_later_of_records_and_inventory(program):
    month = asked(program, "10 days")
    assert due(planned(program, month, last=date(2026, 11, 1), records=[calibrated(5)])) == date(2026, 11, 15)
    assert due(planned(program, month, last=date(2026, 11, 8), records=[calibrated(5)])) == date(2026, 11, 18)
    assert due(planned(program, month, records=[calibrated(5)])) == date(2026, 11, 15)
    assert due(planned(program, month)) is None


def test_a_failure_is_no_good_check_whatever_the_inventory_says(program):
    month = asked(program, "10 days")
    failed = calibrated(8, result="fail")
    open_one = planned(program, month, last=date(2026, 11, 8), records=[calibrated(5), failed])
    assert due(open_one) is None, "failed, then full calibration, else out of service: OSHA SHIB 11-26-2024"
    computed = compute(open_one, AS_OF)
    assert computed.ledger["unit.d-001.calibration.last"].exact == date(2026, 11, 5)
    (found,) = [one for one in due_checks(open_one, computed.ledger) if (one.unit.id, one.check.id) == ("d-001", CAL)]
    assert (found.state, found.day) == (State.UNSHOWN, None)
    (label,) = [one for one in unit_labels(computed, draft=True).values() if one.name == "d-001"]
    assert (label.head, label.large) == ("Calibration due", (Text("Before use"),))
    again = row(9, "d-001", at(8, 9), CAL, result="pass")
    assert due(planned(program, month, last=date(2026, 11, 8), records=[failed, again])) == date(2026, 11, 18)


def test_every_sensor_on_record_must_have_been_good(program):
    month = asked(program, "10 days")
    both = [calibrated(5, sensor="cat"), calibrated(5, sensor="h2s")]
    assert due(planned(program, month, records=both)) == date(2026, 11, 15)
    assert due(planned(program, month, records=[*both, calibrated(9, sensor="cat")])) == date(2026, 11, 15)
    assert due(planned(program, month, records=[*both, calibrated(9)])) == date(2026, 11, 19)


def test_a_new_sensor_was_never_checked(program):
    month = asked(program, "10 days")
    changed = row(7, "d-001", at(7), "sensor-change", sensor="cat")
    assert due(planned(program, month, last=date(2026, 11, 5), records=[calibrated(5), changed])) is None
    after = [calibrated(5), changed, calibrated(7, sensor="cat")]
    assert due(planned(program, month, records=after)) == date(2026, 11, 17)


@pytest.mark.parametrize(("day", "expected"), [(5, date(2026, 11, 5)), (6, None)])
def test_a_day_of_the_inventory_calibrates_no_sensor_that_was_changed_later(program, day, expected):
    changed = row(7, "d-001", at(day), "sensor-change", sensor="cat")
    made = planned(program, asked(program, "10 days"), last=date(2026, 11, 5), records=[changed])
    fit = fit_on(compute(made, AS_OF), made.units["d-001"], AS_OF)
    assert fit.calibrated == expected
    assert ("no good calibration of every sensor is on record before it" in fit.unknown) is (expected is None)


@pytest.mark.parametrize("records", [(), (5,)])
def test_a_sensor_that_the_inventory_says_was_put_in_later_was_never_checked(program, records):
    """Put in on the 5th and calibrated that day it was; put in on the 6th it was not, whoever wrote it where."""
    unit, month = program.units["d-001"], asked(program, "10 days")
    cell = program.models[unit.model.value].positions[0].sensor
    for day, expected in ((5, date(2026, 11, 15)), (6, None)):
        part = FittedSensor(sensor=cell, fitted=given(date(2026, 11, day), unit.where), serial=None, where=unit.where)
        made = planned(program, month, last=date(2026, 11, 5), records=[calibrated(day) for day in records])
        made = replace(made, units={**made.units, "d-001": replace(made.units["d-001"], sensors=(part,))})
        assert due(made) == expected
        fit = fit_on(compute(made, AS_OF), made.units["d-001"], AS_OF)
        assert fit.calibrated == (date(2026, 11, 5) if expected else None)


def test_the_day_is_that_of_the_zone_it_was_written_in(program):
    """1 November 2026, 1:30 in Denver comes twice; both are that day. 23:30 the day before is the 1st in Greenwich."""
    denver = ZoneInfo("America/Denver")
    for moment, day in (
        (datetime(2026, 11, 1, 1, 30, tzinfo=denver, fold=0), 11),
        (datetime(2026, 11, 1, 1, 30, tzinfo=denver, fold=1), 11),
        (datetime(2026, 10, 31, 23, 30, tzinfo=denver), 10),
    ):
        made = planned(program, asked(program, "10 days"), records=[row(2, "d-001", moment, CAL, result="pass")])
        assert due(made) == date(2026, 11, day)


def adjust(program, method):
    where = program.checks[CAL].where
    bounds = [interval_of(Given(text, where, text), Faults()) for text in ("30 days", "300 days")]
    return Adjust(method=Given(method, where, method), least=bounds[0], most=bounds[1], where=where)


def readings(*pairs):
    """Days since 1 January 2026 and readings as found of 50 %LEL, always left at 50."""
    start = datetime(2026, 1, 1, 12, tzinfo=UTC)
    return [row(n, "d-001", start + timedelta(days=day), CAL, sensor="cat", cylinder="c-1", as_found=found, as_left=50,
                result="pass") for n, (day, found) in enumerate(pairs, start=2)]  # fmt: skip


@pytest.mark.parametrize(
    ("method", "law", "found", "bounded"),
    [
        # Three times 1 %LEL lost in 90 days: drift 1/90 a day, no scatter; the window is 3 %LEL less 2 % of 50, so 2.
        ("control-chart", None, 180, 180),
        ("control-chart", "150 days", 180, 150),
        # 1 %LEL is 50 % of 2, after 90 of the 100 days in force: 125, but no longer than law allows.
        ("staircase", None, 125, 125),
        ("staircase", "110 days", 125, 110),
    ],
)
def test_recommended_intervals(program, method, law, found, bounded):
    intervals = [asked(program, "100 days")] + ([asked(program, law, "law")] if law else [])
    made = planned(program, *intervals, records=readings((0, 49), (90, 49), (180, 49), (270, 49)),
                   adjust=adjust(program, method))  # fmt: skip
    ledger = compute(made, AS_OF).ledger
    assert ledger["unit.d-001.cat.drift"].exact == Fraction(-1, 90)
    assert ledger["unit.d-001.cat.next-interval.found"].exact == found
    assert ledger["unit.d-001.cat.next-interval"].exact == bounded
    assert not ledger["unit.d-001.cat.next-interval"].read


def test_two_readings_teach_nothing(program):
    made = planned(program, asked(program, "100 days"), records=readings((0, 49), (90, 49)))
    assert compute(made, AS_OF).ledger.get("unit.d-001.cat.drift") is None


def test_span(program):
    """49 of 50 each time: 0.98³ is 94.1192 %. Down to 90 % are 4.1192, of the 5.8808 lost in 270 days: 189.1 days."""
    made = planned(program, asked(program, "100 days"), records=readings((0, 50), (90, 49), (180, 49), (270, 49)))
    where = made.sensors["cat"].where
    sensor = replace(made.sensors["cat"], least_span=Given(quantity(90, "%"), where, "90 %"))
    ledger = compute(replace(made, sensors={**made.sensors, "cat": sensor}), AS_OF).ledger
    assert ledger["unit.d-001.cat.span-left"].exact == 100 * Fraction(49, 50) ** 3
    assert ledger["unit.d-001.cat.span-left"].text == "94"
    assert ledger["unit.d-001.cat.span-end"].exact == date(2026, 9, 28) + timedelta(days=189)


def test_done_on_time(program):
    """Of 1 to 8, 8 to 20 and 20 to today, with ten days each, the second was late."""
    made = planned(program, asked(program, "10 days"), records=[calibrated(1), calibrated(8), calibrated(20)])
    figure = compute(made, AS_OF).ledger["check.calibration.on-time"]
    assert (figure.exact, figure.text, figure.note[:5]) == (50, "50.0", "n = 2")


def test_gas(program):
    """Site at sea level or near: (34 − 1.7) bar × 1.6 L is 51.68 bar L. Checks of two sensors at one time are one."""
    where = program.cylinders["c-1"].where
    cylinder = replace(program.cylinders["c-1"], measured=given(date(2026, 11, 20), where))
    checked = [(20, "cat"), (21, "cat"), (21, "h2s"), (22, "cat")]
    records = [
        row(line, "d-001", at(day), BUMP, cylinder="c-1", sensor=sensor, result="pass")
        for line, (day, sensor) in enumerate(checked, start=2)
    ]
    site = replace(program.site, gas_lead_time=interval_of(Given("14 days", where, "14 days"), Faults()))
    ledger = compute(replace(program, cylinders={**program.cylinders, "c-1": cylinder}, records=tuple(records),
                             site=site), AS_OF).ledger  # fmt: skip
    # By hand: two checks after the reading, 60 s at 0.5 L/min each; 51.68 / 1.01325 = 51.004 L were there.
    assert ledger["cylinder.c-1.gas-used"].exact == 1
    assert ledger["cylinder.c-1.tests-left"].exact == 100  # (51.004 - 1) / 0.5 = 100.008, down
    assert ledger["cylinder.c-1.tests-a-day"].exact == Fraction(3, 28)
    assert ledger["cylinder.c-1.runs-out"].exact == date(2029, 6, 14)  # 100 x 28 / 3 = 933 days, today the first
    assert ledger["cylinder.c-1.usable-until"].exact == date(2027, 3, 31)  # its certificate ends before
    assert ledger["cylinder.c-1.reorder-by"].exact == date(2027, 3, 17)


def test_a_battery_in_the_cold(program):
    """From 14 h at 20 °C to 6 h at the lowest temperature, at 12 °C, on a straight line."""
    model = next(iter(program.models.values()))
    where = model.where
    battery = replace(model.battery, at_cold=Given(quantity(6, "h"), where, "6 h"))
    cold = replace(model, battery=battery, works=replace(model.works, coldest=Given(quantity(-20, "°C"), where, "")))
    ledger = compute(replace(program, models={**program.models, model.id: cold}), AS_OF).ledger
    assert ledger[f"model.{model.id}.runtime-cold"].exact == 6 + Fraction(8 * 32, 40)
    shift = ledger["site.shift"].exact
    assert ledger[f"model.{model.id}.runtime-margin"].exact == Fraction(62, 5) - shift
