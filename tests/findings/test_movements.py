"""States of units as their movements tell them: what forbids what, and rows that cannot be."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from builder.base.errors import ContentError
from builder.figures.compute import compute
from builder.figures.logbook.states import end_of, stays_of
from builder.findings.order import find
from tests.each import each
from tests.findings.scale import row

SOUND = Path(__file__).parent / "sound"
AS_OF = date(2026, 11, 25)
ROWS = "movements/issues.csv"
HEAD = "unit,from,to,state,holder,area,certificate,note\n"
UNTIL = "unit,from,to,state,holder,certificate,certificate-until\n"
WITHOUT_STATE = ("inventory.yaml", 'serial: "2"\n    state: in-use', 'serial: "2"')
RULES = {
    "used-in-forbidden-state",
    "movements-do-not-meet",
    "back-without-check",
    "hired-without-certificate",
    "certificate-expired",
    "unit-in-wrong-area",
    "record-unknown-unit",
    "record-in-future",
}


@pytest.fixture(name="moved")
def _moved(found):
    """Severity, rule and line of what movements bring, after rows were written for the second unit."""

    def judge(rows, records="", head=HEAD):
        changes = [WITHOUT_STATE, (ROWS, "", head + rows)]
        if records:
            changes.append(("records/rounds.csv", "", "unit,time,kind,result\n" + records))
        return [(one.severity.value, one.rule, one.where.line) for one in found(*changes, rules=RULES)]

    return judge


def at(day, hour=7):
    return f"2026-11-{day:02}T{hour:02}:00Z"


IN_USE = f"d-2,{at(1)},,in-use,Crew,,,\n"


def test_the_state_on_a_day_is_what_the_last_row_says_and_a_gap_is_not_known(program_with):
    program = program_with(
        WITHOUT_STATE, (ROWS, "", HEAD + f"d-2,{at(1)},{at(5)},in-use,Crew,,,\nd-2,{at(8)},,repair,Shop,,,\n")
    )
    stays = stays_of(program)["d-2"]
    states = [stay.state if (stay := end_of(stays, date(2026, 11, day))) else None for day in (1, 4, 5, 7, 8, 20)]
    assert states == ["in-use", "in-use", None, None, "repair", "repair"]
    day = compute(program, date(2026, 11, 6)).program.units["d-2"]
    assert (day.state.value, day.holder) == ("not-known", None)
    today = compute(program, AS_OF).program.units["d-2"]
    assert (today.state.value, today.holder.value, today.since.value) == ("repair", "Shop", date(2026, 11, 8))


# ISO 9001:2015, 7.1.5.2 and common practice, no published source for each state
@each(
    ("state", "kind", "expected"),
    [
        ("in-use", "use", []),
        ("hired", "calibration", []),
        ("spare", "bump-test", []),
        ("spare", "use", ["warn"]),
        ("quarantined", "use", ["stop"]),
        ("quarantined", "bump-test", ["warn"]),
        ("quarantined", "calibration", []),
        ("repair", "zero", ["warn"]),
        ("repair", "sensor-change", []),
        ("lent", "use", ["stop"]),
        ("lent", "inspection", ["warn"]),
        ("retired", "calibration", ["warn"]),
        ("retired", "use", ["stop"]),
    ],
)
def test_what_each_state_forbids(program_with, state, kind, expected):
    program = program_with(WITHOUT_STATE, (ROWS, "", HEAD + f"d-2,{at(10)},,{state},X,,C-1,\n"))
    records = (
        row(2, "d-2", datetime(2026, 11, 10, 6, tzinfo=UTC), kind),
        row(3, "d-2", datetime(2026, 11, 10, 8, tzinfo=UTC), kind),
    )
    findings = find(compute(replace(program, records=records), AS_OF))
    told = [one for one in findings if one.rule == "used-in-forbidden-state"]
    assert [one.severity.value for one in told] == expected
    assert [one.lines for one in told] == [(records[1].where,) for _ in expected]  # the hour counts


@each(("state", "expected"), [("in-use", 0), ("quarantined", 0), ("lent", 1), ("retired", 1)])
def test_settings_cannot_be_read_from_a_unit_that_is_not_here(found, state, expected):
    # common practice, no published source; on the bench, where a quarantined unit lies, they can
    read = ("readback/r.csv", "", "unit,read-on,sensor,name,value\nd-2,2026-11-12,lamp,low,20 ppm\n")
    told = found(WITHOUT_STATE, (ROWS, "", HEAD + f"d-2,{at(10)},,{state},X,,C-1,\n"), read, whole=True)
    lines = [line.file for one in told if one.rule == "used-in-forbidden-state" for line in one.lines]
    assert lines == ["readback/r.csv"] * expected


def test_a_use_without_hour_is_not_held_against_a_state_of_part_of_its_day(moved):
    rows = f"d-2,{at(1)},{at(10, 12)},in-use,X,,,\nd-2,{at(10, 12)},,quarantined,X,,,\n"
    assert moved(rows, "d-2,2026-11-10T00:00Z,use,\n") == []
    assert moved(rows, "d-2,2026-11-11T00:00Z,use,\n") == [("stop", "used-in-forbidden-state", 3)]
    assert moved(rows, "d-2,2026-11-10T13:00Z,use,\n") == [("stop", "used-in-forbidden-state", 3)]


@pytest.mark.parametrize(
    ("rows", "said", "severity"),
    [
        (
            f"d-2,{at(10)},,quarantined,X,,,\n",
            "d-2 is quarantined since 10\u00a0Nov\u00a02026, and was used all the same",
            "stop",
        ),
        (
            f"d-2,{at(10)},{at(15)},quarantined,X,,,\nd-2,{at(15)},,spare,X,,,\n",
            "d-2 was quarantined since 10\u00a0Nov\u00a02026 until 15\u00a0Nov\u00a02026, and was used all the same",
            "warn",
        ),
    ],
)
def test_whether_a_state_that_forbids_use_still_holds_is_told(found, rows, said, severity):
    used = ("records/r.csv", "", "unit,time,kind,result\nd-2,2026-11-12T07:00Z,use,\n")
    changes = (WITHOUT_STATE, (ROWS, "", HEAD + rows), used)
    (told,) = [one for one in found(*changes, whole=True) if one.rule == "used-in-forbidden-state"]
    assert said in told.message
    assert told.severity.value == severity


def test_tests_in_a_quarantine_that_ended_brought_the_unit_back(moved):
    rows = f"d-2,{at(1)},{at(5)},quarantined,X,,,\nd-2,{at(5)},,in-use,X,,,\n"
    assert moved(rows, "d-2,2026-11-04T07:00Z,bump-test,pass\n") == []
    assert moved(rows) == [("stop", "back-without-check", 3)]
    late = "d-2,2026-11-06T07:00Z,use,\nd-2,2026-11-06T08:00Z,bump-test,pass\n"
    assert moved(rows, late) == [("stop", "back-without-check", 3)]
    for nothing in ("10-31T07:00Z,bump-test,pass", "11-06T07:00Z,bump-test,fail", "11-06T07:00Z,inspection,pass"):
        assert moved(rows, f"d-2,2026-{nothing}\n") == [("stop", "back-without-check", 3)]
    over = rows.replace(f"{at(5)},,in-use", f"{at(5)},{at(8)},in-use") + f"d-2,{at(8)},,retired,X,,,\n"
    assert moved(over) == [("warn", "back-without-check", 3)]
    for hour, told in ((6, []), (7, [("warn", "back-without-check", 3)])):  # the moment it left is no longer here
        found = moved(over, f"d-2,2026-11-08T{hour:02}:00Z,calibration,pass\n")
        assert [one for one in found if one[1] == "back-without-check"] == told


def test_a_check_of_one_sensor_does_not_bring_a_unit_back(found):
    """A mended board or a dead bead stays unseen while its oxygen cell is shown good."""
    rows = f"d-1,{at(1)},{at(5)},repair,X,,,\nd-1,{at(5)},,in-use,X,,,\n"
    for sensors, told in ((("oxygen-cell",), [4]), (("oxygen-cell", "bead", "sulfide-cell"), [])):
        made = "".join(f"d-1,{at(5)},calibration,{sensor},pass\n" for sensor in sensors)
        changes = (
            ("inventory.yaml", 'serial: "1"\n    state: in-use', 'serial: "1"'),
            (ROWS, "", HEAD + IN_USE + rows),
            ("records/r.csv", "", f"unit,time,kind,sensor,result\n{made}"),
            WITHOUT_STATE,
        )
        assert [one.where.line for one in found(*changes, rules={"back-without-check"})] == told


def test_the_day_on_which_a_unit_came_back_is_told(found):
    rows = f"d-2,{at(1)},{at(5)},quarantined,X,,,\nd-2,{at(5)},,in-use,X,,,\n"
    (told,) = [
        one for one in found(WITHOUT_STATE, (ROWS, "", HEAD + rows), whole=True) if one.rule == "back-without-check"
    ]
    assert told.message.startswith("d-2 came back from ")
    assert "on 5\u00a0Nov\u00a02026, and no good check" in told.message


def test_rows_that_overlap_or_leave_a_gap(moved):
    first = f"d-2,{at(1)},{at(10)},in-use,X,,,\n"
    assert moved(first + f"d-2,{at(10)},,spare,X,,,\n") == []
    assert moved(first + f"d-2,{at(9)},,spare,X,,,\n") == [("warn", "movements-do-not-meet", 3)]
    assert moved(first + f"d-2,{at(9)},,retired,X,,,\n") == [("stop", "movements-do-not-meet", 3)]
    assert moved(first + f"d-2,{at(11)},,spare,X,,,\n") == [("warn", "movements-do-not-meet", 3)]


def test_hired_without_certificate_wrong_area_unknown_unit_and_a_day_to_come(moved):
    assert moved(f"d-2,{at(1)},,hired,X,,,\n") == [("stop", "hired-without-certificate", 2)]
    assert moved(f"d-2,{at(1)},{at(5)},hired,X,,,\nd-2,{at(5)},,in-use,X,,,\n") == [
        ("warn", "hired-without-certificate", 2)
    ]
    assert moved(f"d-2,{at(1)},,in-use,X,pit,,\n") == [("stop", "unit-in-wrong-area", 2)]
    over = f"d-2,{at(1)},{at(5)},in-use,X,pit,,\nd-2,{at(5)},,in-use,X,,,\n"
    assert moved(over) == [("warn", "unit-in-wrong-area", 2)]
    assert moved(IN_USE + f"d-77,{at(1)},,spare,X,,,\n") == [("warn", "record-unknown-unit", 3)]
    assert moved(IN_USE + "d-2,2026-12-24T07:00Z,,spare,X,,,\n") == [("warn", "record-in-future", 3)]


@each(
    ("rows", "said"),
    [
        ("d-2,2026-11-01,,in-use,X,,,\n", "2: '2026-11-01' for 'from'; allowed: a time such as"),
        (f"d-2,{at(2)},{at(1)},in-use,X,,,\n", "2: to 2026-11-01T07:00Z, not after from 2026-11-02T07:00Z"),
        (f"d-2,{at(2)},,in use,X,,,\n", "2: 'in use' for 'state'; allowed: one of in-use, spare,"),
        (f"d-2,{at(2)},,in-use,X,nowhere,,\n", "2: unknown area 'nowhere'"),
        (f"d-2,{at(2)},,,X,,,\n", "2: no state"),
    ],
)
def test_rows_that_cannot_be_read_are_refused_with_their_line(found, rows, said):
    with pytest.raises(ContentError) as told:
        found(WITHOUT_STATE, (ROWS, "", HEAD + rows))
    assert f"{ROWS}:{said}" in str(told.value)


def test_the_state_is_told_once_by_the_inventory_or_by_movements(found):
    with pytest.raises(ContentError, match="state of unit 'd-2', which rows in movements/ tell too"):
        found((ROWS, "", HEAD + IN_USE))
    with pytest.raises(ContentError, match="unit 'd-2' without state; allowed: one of in-use"):
        found(WITHOUT_STATE)


def test_one_sensor_twice_in_one_unit(found):
    sensors = "    sensors: [{sensor: oxygen-cell, serial: A}, {sensor: lamp, serial: a}]\n    cylinder: c-2"
    (told,) = [
        one for one in found(("inventory.yaml", "    cylinder: c-2", sensors)) if one.rule == "sensor-serial-twice"
    ]
    assert "stands twice in d-2" in told.message


def test_a_bottle_that_no_sensor_of_the_model_sees(found):
    oxygen = "isobutylene, value: 100 ppm, uncertainty: 2 %}\n      - {gas: oxygen, value: 18 %vol, uncertainty: 2 %}\n"
    bare = ("cylinders.yaml", oxygen, oxygen.partition("\n")[0] + "\n")
    given = ("inventory.yaml", "    cylinder: c-1", "    cylinder: [c-1, c-2]")
    told = [one for one in found(bare, given) if one.rule == "cylinder-wrong"]
    assert [(one.severity.value, one.where.file, one.where.line) for one in told] == [("stop", "inventory.yaml", 7)]
    assert not [one for one in found(given) if one.rule == "cylinder-wrong"]  # its oxygen is seen


# common practice, no source: the last day still counts; thirty days before it is soon
@pytest.mark.parametrize(
    ("until", "end", "expected"),
    [
        ("2026-11-24", "", ["stop"]),
        ("2026-11-25", "", ["warn"]),
        ("2026-12-25", "", ["warn"]),
        ("2026-12-26", "", []),
        ("", "", ["note"]),
        ("2026-11-09", at(10), ["warn"]),  # it left a day after its certificate did
        ("2026-11-10", at(10), []),
    ],
)
def test_a_hired_unit_is_used_as_long_as_its_certificate_holds(moved, until, end, expected):
    after = f"d-2,{end},,in-use,X,,\n" if end else ""
    told = moved(f"d-2,{at(1)},{end},hired,X,Sheet 7,{until}\n" + after, head=UNTIL)
    assert [severity for severity, rule, _ in told if rule == "certificate-expired"] == expected


def test_a_last_day_belongs_to_a_certificate(moved):
    with pytest.raises(ContentError, match="certificate-until without certificate"):
        moved(f"d-2,{at(1)},,hired,X,,2026-12-01\n", head=UNTIL)
