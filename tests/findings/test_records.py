"""Records judged again, row by row: windows at their edges, failures and what clears them, people, settings, size."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from fractions import Fraction
from pathlib import Path

import pytest

from builder.base.where import Given, Where
from builder.figures.compute import compute
from builder.figures.logbook import units as logbook_units
from builder.figures.logbook import verdicts
from builder.figures.logbook.book import read_logbook
from builder.findings import record_findings as findings_rows
from builder.findings.order import all_rules, find
from builder.program.inventory import FittedSensor
from builder.program.records import Person, ReadBackSetting
from tests.each import each
from tests.findings.conftest import SINGLE
from tests.findings.scale import given, grown, row

SOUND = Path(__file__).parent / "sound"
AS_OF = date(2026, 11, 25)
BUMP, CAL, CHECK = "bump-test", "calibration", "calibration-check"


@pytest.fixture(name="program")
def _program(program_of):
    """The sound site; ``RECORDS`` names the rules that its inventory alone would wake."""
    return program_of(SOUND)


def at(day, hour=6, minute=0, second=0):
    return datetime(2026, 11, day, hour, minute, second, tzinfo=UTC)


def judged(program, *records, **more):
    numbered = [replace_where(record, line) for line, record in enumerate(records, start=2)]
    numbered.sort(key=lambda record: record.time.value)
    program = replace(program, records=tuple(numbered), **more)
    return find(compute(program, AS_OF), SINGLE)


def replace_where(record, line):
    return replace(record, where=Where("records/made.csv", line))


RECORDS = {"last-disagrees", "check-overdue", "cylinder-runs-out-soon"}
"""Rules that speak of the inventory; they have tests of their own."""


def told(*args, **more):
    findings = [f for f in judged(*args, **more) if f.rule not in RECORDS]
    return sorted((f.where.line, f"{f.severity.value} {f.rule}") for f in findings)


def bump(day, found, result="pass", **more):
    """The bead with 2.2 %vol methane: 50 %LEL, 10 per cent of it either way."""
    return row(0, "d-1", at(day, more.pop("hour", 6)), BUMP, sensor="bead", cylinder="c-1", as_found=found,
               result=result, **more)  # fmt: skip


def calibration(day, found, left, result="pass", **more):
    more = {"sensor": "bead", "cylinder": "c-1"} | more
    return row(0, "d-1", at(day, more.pop("hour", 8)), CAL, as_found=found, as_left=left, result=result, **more)


def use(day, hour=7):
    return row(0, "d-1", at(day, hour), "use")


ZERO = """  - id: zero
    name: Zero
    kind: zero
    interval: each day of use
    reason: invented
    source: invented
    clean-air:
      hydrogen-sulfide: {shows: 0 ppm, within: 1 ppm, refused-beyond: 2 ppm}
"""
OUTSIDE = (2, "stop record-pass-outside-window")
OPEN = (2, "stop failed-check-not-followed")
BACK = (2, "warn look-back")


@pytest.mark.parametrize(
    ("found", "inside"), [("45", True), ("55", True), ("44.9", False), ("55.1", False), ("50", True), ("-3", False)]
)
def test_the_edges_of_a_window_pass(program, found, inside):
    assert told(program, bump(20, found)) == ([] if inside else [OPEN, OUTSIDE, BACK])


@each(
    ("found", "left", "expected"),
    [
        ("2", "0", []),
        ("-2", "0", []),
        ("2.1", "0", [OPEN, OUTSIDE, BACK]),  # gas is there, or the sensor is at fault: nobody zeroes it away
        ("1", "1", []),
        ("1", "-1.5", [OPEN, OUTSIDE]),  # every alarm comes later by as much
    ],
)
def test_a_zero_is_judged_by_the_clean_air_of_the_plan(program_with, found, left, expected):
    """Common practice: zero within 1 ppm is left alone, beyond 2 ppm air or sensor is at fault."""
    program = program_with(("checks.yaml", "checks:\n", f"checks:\n{ZERO}"))
    zero = row(0, "d-1", at(20), "zero", sensor="sulfide-cell", as_found=found, as_left=left, result="pass")
    assert [one for one in told(program, zero) if one[1] != "warn zero-without-bounds"] == expected


def test_a_calibration_is_judged_by_what_it_leaves(program):
    assert told(program, calibration(20, "40", "50")) == [BACK]
    assert told(program, calibration(20, "50", "40")) == [OPEN, OUTSIDE]
    assert told(program, calibration(20, "50", "50")) == []


def test_without_a_cylinder_no_window_is_known(program):
    assert told(program, row(0, "d-1", at(20), BUMP, sensor="bead", as_found="1", result="pass")) == []


@pytest.mark.parametrize(("found", "cylinder", "missing"), [("50", "", []), ("1", "", [4]), ("1", "c-77", [4])])
def test_a_reading_that_no_cylinder_gives_proves_nothing(program, found, cylinder, missing):
    """The one bottle with methane makes the bead show 50 %LEL; 1 %LEL sets off no alarm."""
    more = {"cylinder": cylinder} if cylinder else {}
    test = row(0, "d-1", at(20), BUMP, sensor="bead", as_found=found, result="pass", **more)
    findings = judged(program, bump(19, "50"), test, use(20))
    assert [f.where.line for f in findings if f.rule == "used-without-test"] == missing


def test_a_check_that_passed_and_failed_at_one_moment_failed(program):
    """Two exports of one test, of which one was changed; on a day without hours their order tells."""
    for hour, expected in ((6, [OPEN, BACK]), (0, [BACK])):
        both = [bump(20, "40", result="fail", hour=hour), row(0, "d-1", at(20, hour), BUMP, result="pass")]
        assert told(program, *both) == expected


GUARDED = ("    window: *window\n", "    window: *window\n    guard-band: cylinder-uncertainty\n")


def test_a_guard_band_that_was_not_read_only_warns(program_with):
    """2 % of 50 is 1: the window 45 to 55 becomes 46 to 54, by JCGM 106, which nobody read."""
    program = program_with(("checks.yaml", *GUARDED))
    assert told(program, calibration(20, "54", "54")) == []
    warned = [(2, "warn failed-check-not-followed"), BACK, (2, "warn record-pass-outside-window")]
    assert told(program, calibration(20, "54.5", "54.5")) == warned
    assert told(program, calibration(20, "55.5", "55.5")) == [OPEN, OUTSIDE, BACK]


@pytest.mark.parametrize(("found", "expected"), [("47", []), ("44", [OPEN, OUTSIDE, BACK])])
def test_a_check_of_a_kind_that_the_plan_lacks_passes_nothing_that_a_bump_test_would_not(program, found, expected):
    assert CHECK not in {check.kind for check in program.checks.values()}
    check = row(0, "d-1", at(20), CHECK, sensor="bead", cylinder="c-1", as_found=found, result="pass")
    assert told(program, check) == expected


@pytest.mark.parametrize(("day", "expired"), [(date(2026, 11, 19), True), (date(2026, 11, 20), False)])
def test_the_last_day_of_a_cylinder_is_good(program, day, expired):
    cylinder = program.cylinders["c-1"]
    cylinders = {**program.cylinders, "c-9": replace(cylinder, id="c-9", expires=given(day, cylinder.where))}
    found = judged(program, row(0, "d-1", at(20), BUMP, sensor="bead", cylinder="c-9", result="pass"),
                   cylinders=cylinders)  # fmt: skip
    assert any(f.rule == "record-cylinder-expired" and f.where.line == 2 for f in found) is expired


def test_a_check_before_the_certificate_of_its_cylinder_was_made_with_other_gas(program):
    where = program.cylinders["c-1"].where
    for day, expected in ((20, []), (21, [2])):
        cylinder = replace(program.cylinders["c-1"], certified_on=given(date(2026, 11, day), where))
        findings = judged(program, bump(20, "50"), cylinders={**program.cylinders, "c-1": cylinder})
        told = [f for f in findings if f.rule == "record-cylinder-expired"]
        assert [f.where.line for f in told] == expected
        assert all("certified only on 21" in f.message for f in told)


def test_the_day_of_a_record_is_the_local_one(program):
    """23:30 on the 20th in Denver is the 21st in Greenwich; a cylinder good until the 20th was in date."""
    cylinder = program.cylinders["c-1"]
    last = given(date(2026, 11, 20), cylinder.where)
    cylinders = {**program.cylinders, "c-9": replace(cylinder, id="c-9", expires=last)}
    moment = datetime(2026, 11, 20, 23, 30, tzinfo=timezone(timedelta(hours=-7)))
    found = judged(program, row(0, "d-1", moment, BUMP, sensor="bead", cylinder="c-9", result="pass"),
                   cylinders=cylinders)  # fmt: skip
    assert [f.rule for f in found if f.rule.startswith("record")] == []


@pytest.mark.parametrize(
    ("kind", "sensor", "cylinder", "lacks"),
    [
        (BUMP, "bead", "c-2", True),  # isobutylene and oxygen
        (BUMP, "oxygen-cell", "c-2", False),
        (BUMP, None, "c-2", False),
        (CAL, "sulfide-cell", "c-2", True),
        (CAL, "sulfide-cell", "c-1", False),
        ("zero", "sulfide-cell", "c-2", False),
    ],
)
def test_gas_that_is_not_there(program, kind, sensor, cylinder, lacks):
    more = {"sensor": sensor} if sensor else {}
    found = judged(program, row(0, "d-1", at(20), kind, cylinder=cylinder, result="pass", **more))
    assert any(f.rule == "record-cylinder-lacks-gas" for f in found) is lacks


@pytest.mark.parametrize(
    ("later", "cleared"),
    [
        ([bump(20, "50", hour=9)], True),
        ([bump(20, "44", hour=9, result="fail")], False),
        ([calibration(21, "40", "50")], True),
        ([calibration(21, "25", "25", sensor="sulfide-cell")], False),
        ([row(0, "d-1", at(21), BUMP, result="pass")], True),  # of the whole unit
        ([row(0, "d-1", at(21), BUMP, cylinder="c-2", result="pass")], False),  # which holds no gas for it
        ([row(0, "d-1", at(21), "inspection", result="pass")], False),
        ([row(0, "d-1", at(21), "sensor-change", sensor="bead")], False),
        ([row(0, "d-1", at(21), BUMP, sensor="bead", cylinder="c-2", result="pass")], False),  # no gas for it
        ([], False),
    ],
)  # fmt: skip
def test_what_clears_a_failed_bump(program, later, cleared):
    found = judged(program, bump(20, "40", result="fail"), *later)
    assert (2 not in {f.where.line for f in found if f.rule == "failed-check-not-followed"}) is cleared


def test_a_calibration_of_the_whole_unit_holds_for_what_its_gas_adjusts(program):
    """Isobutylene and oxygen adjust the oxygen cell alone, so nothing shows the two others good since May."""
    units = {**program.units, "d-1": replace(program.units["d-1"], last={})}
    for cylinder, due in (("c-1", False), ("c-2", True)):
        rows = [row(0, "d-1", at(20), CAL, cylinder=cylinder, result="pass")]
        overdue = [f.message for f in judged(program, *rows, units=units) if f.rule == "check-overdue"]
        assert any("Calibration" in message and "d-1" in message for message in overdue) is due


def test_a_bump_test_does_not_clear_a_failed_calibration(program):
    failed = calibration(20, "40", "40", result="fail")
    assert OPEN in told(program, failed, bump(21, "50"))
    assert OPEN not in told(program, failed, row(0, "d-1", at(21), CAL, result="pass"))


@pytest.mark.parametrize(("state", "severity"), [("in-use", "stop"), ("spare", "warn"), ("repair", None)])
def test_a_unit_out_of_use_may_stay_failed(program, state, severity):
    unit = program.units["d-1"]
    units = {**program.units, "d-1": replace(unit, state=given(state, unit.where))}
    found = judged(program, bump(20, "40", result="fail"), units=units)
    expected = [severity] if severity else []
    assert [f.severity.value for f in found if f.rule == "failed-check-not-followed"] == expected


def test_use_between_a_failure_and_its_end(program):
    records = [use(19), bump(20, "40", result="fail"), use(20), use(21), calibration(21, "40", "50"), use(22)]
    found = [f.where.line for f in judged(program, *records) if f.rule == "used-while-failed"]
    assert found == [4, 5]


@pytest.mark.parametrize(
    ("later", "state", "expected"),
    [
        ([], "in-use", "stop"),
        ([bump(22, "50")], "in-use", "warn"),
        ([bump(22, "40")], "in-use", "stop"),
        ([calibration(22, "40", "50")], "in-use", "warn"),
        ([calibration(22, "25", "25", sensor="sulfide-cell")], "in-use", "stop"),
        ([row(0, "d-1", at(22), "inspection", result="pass")], "in-use", "stop"),
        ([], "retired", "warn"),
    ],
)  # fmt: skip
def test_what_no_check_can_mend_any_more_stops_no_release(program, later, state, expected):
    """Else only taking the row away would let the next revision be released: common practice, no source."""
    unit, bottle = program.units["d-1"], program.cylinders["c-1"]
    units = {**program.units, "d-1": replace(unit, state=given(state, unit.where))}
    old = replace(bottle, id="c-9", expires=given(date(2026, 11, 19), bottle.where))
    by_rule = {
        "record-pass-outside-window": bump(20, "40"),
        "record-cylinder-expired": row(0, "d-1", at(20), BUMP, sensor="bead", cylinder="c-9", result="pass"),
        "record-cylinder-lacks-gas": row(0, "d-1", at(20), BUMP, sensor="bead", cylinder="c-2", result="pass"),
        "used-while-failed": bump(20, "40", result="fail"),
    }
    for rule, checked in by_rule.items():
        found = judged(program, checked, use(20), *later, units=units, cylinders={**program.cylinders, "c-9": old})
        assert [one.severity.value for one in found if one.rule == rule and one.where.line in (2, 3)] == [expected]


def test_every_day_of_use_since_the_last_good_check_is_listed(program):
    """A bump test proves less than a calibration: it does not shorten the doubt about one."""
    records = [calibration(2, "50", "50"), use(2, 9), use(3), use(3, 15), use(9), bump(10, "50"), use(16),
               calibration(18, "40", "50"), use(19)]  # fmt: skip
    (found,) = [f for f in judged(program, *records) if f.rule == "look-back"]
    assert found.where.line == 9
    assert found.message == (
        "d-1, calibration of Bead on 18\u00a0Nov\u00a02026: its reading was outside what is permitted. Its last good "
        "check before was on 2\u00a0Nov\u00a02026. What it showed up to this check is in doubt; it was used in "
        "Nov 2026: 2, 3, 9, 16."
    )


def test_a_failure_that_is_met_again_at_once_is_told_once(program):
    """Adjusted twice in one hour on the bench: what was measured before is in doubt, and nothing since."""
    rows = [bump(2, "50"), use(3), calibration(4, "40", "44", result="fail"), calibration(4, "44", "50", hour=9)]
    assert [f.where.line for f in judged(program, *rows) if f.rule == "look-back"] == [4]


@pytest.mark.parametrize(("more", "lines"), [({"result": "fail"}, [2]), ({"as_found": "7"}, [2]), ({}, [])])
def test_a_day_of_use_that_tells_a_failure_or_a_reading(program, more, lines):
    used = row(0, "d-1", at(3), "use", **({"sensor": "bead"} if more else {}), **more)
    made = replace(program, records=(replace_where(used, 2),))
    rule = tuple(entry for entry in all_rules() if entry.id == "record-incomplete")
    assert [f.where.line for f in find(compute(made, AS_OF), rule)] == lines


def test_a_test_of_the_evening_before_is_not_told_as_one_after_the_use(program):
    """02:30 in Greenwich on the 21st is the evening of the 20th in Denver; its clock calls it the day of the use."""
    denver = datetime(2026, 11, 21, 8, tzinfo=timezone(timedelta(hours=-7)))
    rows = [whole(19), row(0, "d-1", at(21, 2, 30), BUMP, result="pass"), row(0, "d-1", denver, "use")]
    (found,) = [f for f in judged(program, *rows) if f.rule == "used-without-test"]
    assert "no bump test is recorded as passed on that day" in found.message


def test_a_day_of_use_without_an_hour_may_be_any_part_of_it(program):
    whole_day = row(0, "d-1", at(2, 0), "use")
    records = [calibration(2, "50", "50"), whole_day, calibration(18, "40", "50")]
    (found,) = [f for f in judged(program, *records) if f.rule == "look-back"]
    assert "Nov 2026: 2." in found.message


def test_one_that_fails_again_lists_only_what_came_between(program):
    records = [bump(2, "50"), use(3), bump(4, "1", result="fail"), use(5), bump(6, "1", result="fail")]
    days = [f.message.rpartition(": ")[2] for f in judged(program, *records) if f.rule == "look-back"]
    assert days == ["3.", "5."]


def whole(day, kind=BUMP, hour=6, result="pass", **more):
    """A check of the whole unit, as passed before the use at seven o'clock."""
    return row(0, "d-1", at(day, hour), kind, **({"result": result} if result else {}), **more)


@pytest.mark.parametrize(
    ("records", "lines"),
    [
        # ISEA statement, in OSHA SHIB 11-26-2024: bump test or calibration check before each day's use
        ([whole(19), use(19)], []),
        ([whole(19), use(19), use(19, 15), use(20), use(20, 15)], [5]),
        ([whole(19), whole(20, hour=8), use(20)], [4]),  # passed, but only after the use
        ([whole(19), whole(20, CHECK), use(20), whole(21, CAL), use(21)], []),
        ([whole(19), whole(20, "inspection"), use(20)], [4]),
        ([use(18), whole(19), use(19)], []),  # nothing was recorded on tests before
        ([use(18), use(19)], []),  # tests are recorded elsewhere, or not at all
        ([whole(19), row(0, "d-1", at(20, 0), "use"), whole(20, hour=9)], []),  # a day without an hour
        ([bump(19, "50"), use(19)], []),  # the only sensor that records ever tell of
        ([bump(19, "50"), whole(20), bump(20, "51"), use(20)], []),
        ([whole(19), row(0, "d-1", at(18), BUMP, sensor="oxygen-cell", result="pass"), bump(20, "50"), use(20)], [5]),
        ([whole(19), row(0, "d-1", at(20), BUMP, sensor="bead", cylinder="c-1", as_found="50"), use(20)], []),
        ([whole(19), whole(20, result=None), use(20)], [4]),  # nothing says that it was passed
        ([whole(20, cylinder="c-1"), use(20)], []),
        ([whole(20, cylinder="c-2"), use(20)], [3]),  # isobutylene and oxygen: no methane, no hydrogen sulfide
        ([whole(20, cylinder="c-2"), whole(20, cylinder="c-1", hour=7), use(20)], []),
    ],
)
def test_use_without_a_test_of_that_day(program, records, lines):
    found = [f for f in judged(program, *records) if f.rule == "used-without-test"]
    assert [f.where.line for f in found] == lines
    assert {f.severity.value for f in found} <= {"warn"}


def test_a_use_after_a_failure_is_told_once(program):
    found = told(program, whole(19), bump(20, "40", result="fail"), use(20))
    assert (4, "stop used-while-failed") in found
    assert (4, "warn used-without-test") not in found


def test_no_test_is_asked_where_the_plan_asks_none_a_day(program):
    check = program.checks["bump"]
    monthly = replace(check.intervals[0].interval.value, count=1, unit="month", text="1 month")
    asked = replace(check.intervals[0], interval=given(monthly, check.where))
    checks = {**program.checks, "bump": replace(check, intervals=(asked,))}
    found = judged(program, whole(19), use(20), checks=checks)
    assert "used-without-test" not in {f.rule for f in found}


def test_what_is_missing_is_said(program):
    test = row(0, "d-1", at(19), BUMP, sensor="oxygen-cell", result="pass")
    messages = [
        f.message for f in judged(program, test, bump(20, "50"), use(20), whole(21, hour=8), use(21))
        if f.rule == "used-without-test"
    ]  # fmt: skip
    assert messages == [
        "d-1 was used on 20\u00a0Nov\u00a02026, but no bump test of Oxygen cell is recorded as passed on that day.",
        (
            "d-1 was used on 21\u00a0Nov\u00a02026, but its bump test of Bead, Oxygen cell was passed only after "
            "it was used."
        ),
    ]


@pytest.mark.parametrize(("days", "told"), [(30, False), (31, True)])
def test_records_that_end_early_are_told(program, days, told):
    newest = row(0, "d-1", datetime(2026, 11, 25, 6, tzinfo=UTC) - timedelta(days=days), "inspection", result="pass")
    found = [f for f in judged(program, newest) if f.rule == "records-end-early"]
    assert len(found) == told
    if told:
        assert "25\u00a0Oct\u00a02026, 31 days before" in found[0].message
        assert "--as-of 2026-10-25" in found[0].mend  # the site says that it is invented


def test_records_to_come_prove_nothing(program):
    found = told(program, bump(20, "40", result="fail"), calibration(26, "40", "50"))
    assert (3, "warn record-in-future") in found
    assert OPEN in found


def test_strangers(program):
    found = told(program, row(0, "d-9", at(20), "use"), row(0, "d-1", at(20), BUMP, cylinder="c-9", result="pass"))
    assert found == [(2, "warn record-unknown-unit"), (3, "warn record-unknown-cylinder")]


@pytest.mark.parametrize("day", [20, AS_OF.day])
@pytest.mark.parametrize(("seconds", "units", "expected"), [(0, 3, 1), (59, 3, 1), (60, 3, 0), (10, 2, 0)], ids=str)
def test_a_rhythm_that_gas_does_not_allow(program, seconds, units, expected, day):
    """The plan lets gas flow for 60 s."""
    unit = program.units["d-1"]
    made = {f"u-{n}": replace(unit, id=f"u-{n}") for n in range(3)}
    records = [row(0, f"u-{n}", at(day) + timedelta(seconds=seconds * n), BUMP, result="pass", by="kd")
               for n in range(units)]  # fmt: skip
    found = [f for f in judged(program, *records, units=made) if f.rule == "impossible-rhythm"]
    assert len(found) == expected
    later = row(0, "u-0", at(day, 12), BUMP, result="pass", by="kd")  # what comes after a run takes nothing from it
    found = [f for f in judged(program, *records, later, units=made) if f.rule == "impossible-rhythm"]
    assert len(found) == expected


PLACE = Where("people.yaml", 2)
PERSON = Person(id="kd", name="Invented", role=given("tester", PLACE), kinds=(given(BUMP, PLACE),),
                start=given(date(2026, 11, 10), PLACE), until=given(date(2026, 11, 20), PLACE),
                assessed_by=given("Invented", PLACE), where=PLACE)  # fmt: skip


@pytest.mark.parametrize(
    ("day", "kind", "by", "sound"),
    [
        (10, BUMP, "kd", True),
        (20, BUMP, "kd", True),
        (9, BUMP, "kd", False),
        (21, BUMP, "kd", False),
        (15, "inspection", "kd", False),
        (15, BUMP, "zz", False),
        (15, BUMP, None, False),
        (15, "use", None, True),
    ],
)
def test_who_may_record(program, day, kind, by, sound):
    record = row(0, "d-1", at(day), kind, result="pass", **({"by": by} if by else {}))
    found = told(program, record, people={"kd": PERSON})
    assert ((2, "warn record-not-authorised") not in found) is sound
    assert (2, "warn record-not-authorised") not in told(program, record)


@pytest.mark.parametrize(
    ("until", "noted"),
    [(date(2026, 11, 24), True), (date(2026, 12, 25), True), (date(2026, 12, 26), False)],
)
def test_training_that_ends(program, until, noted):
    person = replace(PERSON, until=given(until, PLACE))
    found = judged(program, people={"kd": person})
    assert [f.severity.value for f in found if f.rule == "training-expires"] == ["note"] * noted


@pytest.mark.parametrize(
    ("sensor", "name", "value", "severity"),
    [
        ("bead", "low", "5 %LEL", None),
        ("bead", "low", "6 %LEL", "stop"),
        ("bead", "low", "4 %LEL", "warn"),
        ("oxygen-cell", "low", "19.9 %vol", "stop"),
        ("oxygen-cell", "low", "20.1 %vol", "warn"),
        ("oxygen-cell", "high", "23.1 %vol", "stop"),
        ("sulfide-cell", "low", "0.0005 %vol", None),
        ("sulfide-cell", "low", "5 %LEL", "stop"),
        ("bead", "factor", "1", None),
        ("bead", "factor", "0.9", "stop"),
        ("bead", "factor", "1.5", "warn"),
        ("bead", "target", "methane", None),
        ("bead", "target", "propane", "warn"),
        ("bead", "target", "ammonia", "stop"),
        ("bead", "high", "10 %LEL", "stop"),
        ("sulfide-cell", "high", "10 ppm", None),  # the handbook has no such alarm
    ],
)
def test_settings(program, sensor, name, value, severity):
    setting = made_setting(sensor, name, value, date(2026, 11, 20))
    found = judged(program, settings=(setting,))
    assert [f.severity.value for f in found if f.rule == "settings-differ"] == ([severity] if severity else [])
    assert [f.touches for f in found if f.rule == "settings-missing"] == [("unit:d-2",)]


def made_setting(sensor, name, value, day, line=2):
    where = Where("readback/made.csv", line)
    return ReadBackSetting(unit=given("d-1", where), read_on=given(day, where), sensor=given(sensor, where),
                   name=given(name, where), value=given(value, where), where=where)  # fmt: skip


def test_the_last_reading_of_a_setting_counts(program):
    old = made_setting("bead", "low", "9 %LEL", date(2026, 11, 19))
    new = made_setting("bead", "low", "5 %LEL", date(2026, 11, 20), line=3)
    assert [f.rule for f in judged(program, settings=(new, old)) if f.rule == "settings-differ"] == []
    assert [f.rule for f in judged(program, settings=(replace(new, read_on=old.read_on), old)) if f.rule ==
            "settings-differ"] == ["settings-differ"]  # fmt: skip


@pytest.mark.parametrize(
    ("fitted", "changed", "old"),
    [
        (date(2023, 11, 24), None, True),
        (date(2023, 11, 25), None, False),
        (date(2020, 1, 1), 20, False),
    ],
)
def test_sensors_grow_old(program, fitted, changed, old):
    """A life of 36 months: from 24 November 2023 until 24 November 2026."""
    unit = program.units["d-1"]
    part = FittedSensor(sensor=given("bead", unit.where), fitted=given(fitted, unit.where), serial=None,
                        where=unit.where)  # fmt: skip
    units = {**program.units, "d-1": replace(unit, sensors=(part,))}
    records = [row(0, "d-1", at(changed), "sensor-change", sensor="bead")] if changed else []
    found = judged(program, *records, units=units)
    assert [f.severity.value for f in found if f.rule == "sensor-past-life"] == ["warn"] * old


def test_inventory_and_records_that_disagree(program):
    """The inventory says 20 November of the bump test, and a day of other checks, of which no record is."""
    unproved = [f.message for f in judged(program, bump(20, "50")) if f.rule == "last-disagrees"]
    assert all("no record shows it" in told and not told.startswith("Unit d-1, Bump") for told in unproved)
    found = [f for f in judged(program, bump(21, "50")) if f.rule == "last-disagrees"]
    assert len(found) == len(unproved) + 1
    assert {f.where.file for f in found} == {"inventory.yaml"}


def test_no_finding_is_lost_when_there_are_very_many(program, monkeypatch):
    monkeypatch.setattr(findings_rows, "LISTED", 3)
    found = [f for f in judged(program, *(row(0, f"x-{n}", at(20), "use") for n in range(10)))
             if f.rule == "record-unknown-unit"]  # fmt: skip
    assert len(found) == 4
    assert sum("7 more findings" in finding.message for finding in found) == 1


def test_size(program, monkeypatch):
    """400 units with 100 rows each: each row is judged once, and each look goes over a unit's own rows only."""
    seen: Counter[str] = Counter()
    judge, take = verdicts.verdict_of, logbook_units._Reader.take

    def counted(record, windows, fitted):
        seen["judged"] += 1
        return judge(record, windows, fitted)

    def taken(reader, entry):
        seen["taken"] += 1
        return take(reader, entry)

    monkeypatch.setattr("builder.figures.logbook.book.verdict_of", counted)
    monkeypatch.setattr(logbook_units._Reader, "take", taken)
    big = grown(program, units=400, days=50)
    assert len(big.records) == 40_000
    ledger = compute(program, AS_OF).ledger
    book = read_logbook(big, ledger, AS_OF)
    kept = 40_000 - len(book.future)
    assert seen == {"judged": kept, "taken": kept}
    assert len({id(verdict) for log in book.units.values() for _, verdict in log.entries}) <= 2
    assert sum(len(log.episodes) + len(log.look_backs) for log in book.units.values()) == 0


def test_a_unit_that_fails_every_day_costs_no_square(program):
    """1,000 failures and uses in turn: each use stands in one place, each day in one look-back."""
    start = datetime(2023, 11, 1, 6, tzinfo=UTC)
    records = []
    for day in range(1000):
        moment = start + timedelta(days=day)
        records.append(row(0, "d-1", moment, BUMP, sensor="bead", cylinder="c-1", as_found="1", result="fail"))
        records.append(row(0, "d-1", moment + timedelta(hours=1), "use"))
    book = read_logbook(replace(program, records=tuple(records)), compute(program, AS_OF).ledger, AS_OF)
    log = book.units["d-1"]
    assert (len(log.episodes), sum(len(one.uses) for one in log.episodes)) == (1, 1000)
    assert sum(len(back.days) for back in log.look_backs) == 999


def test_numbers_are_plain(program):
    book = read_logbook(replace(program, records=(bump(20, "50"),)), compute(program, AS_OF).ledger, AS_OF)
    window = book.windows.by_case["c-1", "bead", BUMP]
    assert (window.low, window.high, window.tolerance) == (45, 55, 5)
    assert isinstance(window.low, Fraction)
    assert isinstance(bump(20, "50").as_found, Given)
