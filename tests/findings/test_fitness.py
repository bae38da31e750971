"""Was it fit on day Y before its first use: what records show, what speaks against it, and what nobody can tell.

The rows are told by hand; ISO 9001:2015, 7.1.5.2 and 29 CFR 1910.146 (d)(5) ask for such a proof, in no set form.
"""

from __future__ import annotations

import shutil
from datetime import date

import pytest
from click.testing import CliRunner

from builder.cli.main import handbook
from builder.figures.compute import compute
from builder.figures.logbook.fitness import fit_on
from builder.figures.logbook.fitness_found import Shown
from tests.edited import write
from tests.findings.conftest import SOUND

AS_OF = date(2026, 11, 25)
PEOPLE = """people:
  - {id: kd, name: Kit Doe, role: tester, may: [bump-test, use], from: 2026-01-01, until: 2026-12-31, assessed-by: x}
"""
MOVES = "unit,from,to,state,area,holder\nd-1,2026-10-01T07:00Z,2026-11-20T12:00Z,in-use,pit,Crew 2\n"
MOVES += "d-1,2026-11-20T12:00Z,,quarantined,,Bench\n"
HEAD = "unit,time,kind,sensor,cylinder,result,by\n"
CALIBRATED = "".join(
    f"d-1,2026-10-05T08:00Z,calibration,{sensor},c-1,pass,\n" for sensor in ("bead", "oxygen-cell", "sulfide-cell")
)
BUMP = "d-1,2026-11-10T06:30Z,bump-test,,c-1,pass,kd\n"
USE = "d-1,2026-11-10T07:15Z,use,,,,kd\n"
ROWS = "records/r.csv"
READ = "unit,read-on,sensor,name,value\nd-1,2026-11-01,bead,low,5 %LEL\n"
D1 = ("inventory.yaml", 'serial: "1"\n    state: in-use', 'serial: "1"')
DAY = date(2026, 11, 10)


def written(rows, people=PEOPLE, read=READ, moves=MOVES):
    """Changes that make a site of rows of records."""
    files = (("people.yaml", people), ("readback/r.csv", read), ("movements/m.csv", moves))
    return [*([D1] if moves else []), *((name, "", text) for name, text in files if text), (ROWS, "", HEAD + rows)]


@pytest.fixture(name="fit")
def _fit(program_with):
    """The day of one unit from rows of records, after the changes."""

    def judge(rows, *changes, day=DAY, people=PEOPLE, read=READ, moves=MOVES):
        computed = compute(program_with(*written(rows, people, read, moves), *changes), AS_OF)
        return fit_on(computed, computed.program.units["d-1"], day)

    return judge


def test_a_day_of_which_everything_is_on_record(fit):
    told = fit(CALIBRATED + BUMP + USE)
    assert (told.shown, told.against, told.unknown) == (Shown.FIT, (), ())
    assert [(stay.state, stay.area, stay.holder) for stay in told.stays] == [("in-use", "pit", "Crew 2")]
    assert (told.first_use.time.value.hour, told.tested.time.value.hour, told.calibrated) == (7, 6, date(2026, 10, 5))
    assert (told.bottle, told.bottle_until) == ("c-1", date(2027, 6, 30))
    assert (told.settings_read, told.person.name, told.faults) == (date(2026, 11, 1), "Kit Doe", ())


@pytest.mark.parametrize(
    ("rows", "day", "against"),
    [
        # the test came after the first use, and the hour decides
        (BUMP.replace("06:30", "07:30") + USE + "d-1,2026-11-09T06:30Z,bump-test,,c-1,pass,kd\n", DAY, "no good check"),
        (USE, DAY, "no good check with gas that day"),
        # failed that morning, and nothing good followed before the use
        (BUMP + "d-1,2026-11-10T07:00Z,bump-test,bead,c-1,fail,kd\n" + USE, DAY, "its bump test failed on 10"),
        (BUMP + USE, date(2026, 11, 21), "its state was quarantined"),
    ],
)
def test_what_speaks_against_a_day(fit, rows, day, against):
    told = fit(CALIBRATED + rows, day=day)
    assert told.shown is Shown.UNFIT
    assert told.against[0].startswith(against)


ZERO = """  - id: zero
    name: Fresh-air zero
    kind: zero
    interval: each day of use
    reason: invented
    source: invented
"""


@pytest.mark.parametrize(
    ("rows", "unknown"),
    [
        (BUMP.replace("kd", "xx"), "who made its bump test of 10"),  # nobody knows who that is
        (BUMP.replace(",kd", ","), "who made its bump test of 10"),
        ("".join(BUMP.replace(",,c-1", f",{part}") for part in ("bead,c-1", "oxygen-cell,c-1", "sulfide-cell,")),
         "its check with gas names no cylinder"),
        (BUMP + "d-1,2026-11-09T06:00Z,zero,,,pass,kd\n", "no good fresh-air zero of that day is on record"),
        (BUMP + "d-1,2026-11-10T07:30Z,zero,,,pass,kd\n", "no good fresh-air zero of that day is on record"),
    ],
)  # fmt: skip
def test_what_nobody_can_tell_of_the_checks_of_a_day(fit, rows, unknown):
    told = fit(CALIBRATED + rows + USE, ("checks.yaml", "checks:\n", f"checks:\n{ZERO}"))
    assert (told.shown, told.against) == (Shown.NOT_KNOWN, ())
    assert [one.startswith(unknown) for one in told.unknown] == [True]


@pytest.mark.parametrize(
    ("test", "use", "other", "fit_then"),
    [
        ("09T23:30", "10T00:30", "", True),  # one turn: Directive 2003/88/EC, Article 2 (3), night until five
        ("09T23:30", "10T05:00", "", True),
        ("09T23:30", "10T05:01", "", False),  # a day's use of its own
        ("09T12:29", "10T00:30", "", False),  # longer ago than the longest turn, 12 h
        ("09T21:45", "10T00:30", "09T22:00Z,use,,,,kd", True),
        ("09T21:45", "10T00:30", "09T22:00Z,use,,,,mo", False),  # somebody else's turn
    ],
)
def test_a_turn_over_midnight_is_tested_where_it_begins(fit, found, test, use, other, fit_then):
    rows = CALIBRATED + BUMP.replace("10T06:30", test) + (f"d-1,2026-11-{other}\n" if other else "")
    rows += USE.replace("10T07:15", use)
    told = fit(rows)
    assert (told.against == ()) is fit_then, told.against
    late = found(*written(rows), rules={"used-without-test"})
    assert [one.where.line for one in late] == ([] if fit_then else [rows.count("\n") + 1])


@pytest.mark.parametrize(
    ("since", "fit_then"),
    [
        ("", False),
        ("d-1,2026-11-21T09:10Z,bump-test,oxygen-cell,c-1,pass,kd\n", False),  # one sensor of three
        ("d-1,2026-11-21T09:10Z,bump-test,,c-1,pass,kd\n", True),
        ("d-1,2026-11-21T10:10Z,bump-test,,c-1,pass,kd\n", False),  # after it was used
    ],
)
def test_a_unit_that_came_back_without_a_check_is_not_fit(fit, since, fit_then):
    """ISO 9001:2015, 7.1.5.2: what was found unfit is shown fit before it is used again."""
    moves = MOVES.replace("12:00Z,,quarantined,,Bench", "12:00Z,2026-11-21T09:00Z,repair,,Bench")
    moves += "d-1,2026-11-21T09:00Z,,in-use,pit,Crew 2\n"
    rows = CALIBRATED + BUMP.replace("10T06:30", "20T06:30") + since + USE.replace("10T07:15", "21T10:00")
    told = fit(rows, day=date(2026, 11, 21), moves=moves)
    assert any("came back from repair" in one for one in told.against) is not fit_then


def test_a_failure_that_was_cleared_before_the_use_or_comes_later_is_none_of_that_day(fit):
    failed = "d-1,2026-11-10T06:00Z,bump-test,bead,c-1,fail,kd\n"
    assert fit(CALIBRATED + failed + BUMP + USE).shown is Shown.FIT
    late = failed.replace("06:00", "16:00")
    assert fit(CALIBRATED + BUMP + USE + late).shown is Shown.FIT


def test_the_bottle_and_the_calibration_are_judged_on_that_day(fit):
    expired = ("cylinders.yaml", 'lot: "1"\n    expires: 2027-06-30', 'lot: "1"\n    expires: 2026-11-09')
    told = fit(CALIBRATED + BUMP + USE, expired)
    assert told.against[0].startswith("cylinder c-1 was past its last day, 9")
    assert told.against[1].startswith("no good check with gas that day before its first use")
    old = CALIBRATED.replace("2026-10-05", "2025-01-05")
    assert any(text.startswith("its calibration held until") for text in fit(old + BUMP + USE).against)


@pytest.mark.parametrize(
    ("rows", "more", "unknown"),
    [
        (CALIBRATED + BUMP, {}, "no use of it is recorded that day: ask where it was"),
        (CALIBRATED + BUMP + USE.replace("07:15", "00:00"), {}, "the hour of its first use is not told"),
        (CALIBRATED + BUMP.replace("c-1", "") + USE, {}, "its check with gas names no cylinder"),
        (USE, {}, "no good check with gas is on record before it"),
        (BUMP + USE, {}, "its calibration stands in the inventory alone, without a record"),
        (CALIBRATED + BUMP + USE, {"read": ""}, "its settings had never been read back"),
        (CALIBRATED + BUMP + USE, {"read": READ.replace("2026", "2025")}, "its settings were last read back more than"),
        (CALIBRATED + BUMP + USE, {"people": ""}, "no register of people is kept"),
        (CALIBRATED + BUMP + USE.replace("kd", ""), {}, "its record of use names nobody"),
        (CALIBRATED + BUMP + USE.replace("kd", "zz"), {}, "who used it is not in the register"),
        (CALIBRATED + BUMP + USE, {"moves": MOVES.replace("10-01T07", "11-15T07")}, "no row says where it was"),
        (CALIBRATED + BUMP + USE, {"moves": ""}, "the inventory tells its state today, nobody since when"),
        (CALIBRATED + BUMP + USE, {"moves": MOVES.replace("Crew 2", "")}, "nobody says who had it"),
        (
            CALIBRATED + BUMP + USE,
            {"moves": MOVES.replace("in-use", "hired")},
            "until when its owner's certificate holds",
        ),
    ],
)
def test_what_is_not_known_is_said_and_never_a_pass(fit, rows, more, unknown):
    told = fit(rows, **more)
    assert told.shown is not Shown.FIT
    assert [text for text in told.unknown if text.startswith(unknown)], told.unknown


def test_a_unit_in_a_place_that_asks_for_another_model_is_not_fit(fit):
    told = fit(CALIBRATED + BUMP + USE, moves=MOVES.replace("in-use,pit", "in-use,shop"))
    assert (told.shown, told.against) == (Shown.UNFIT, ("Shop asks for another model",))


def test_an_alarm_that_was_read_back_too_high_makes_a_unit_unfit(fit):
    high = READ.replace("5 %LEL", "9 %LEL")
    told = fit(CALIBRATED + BUMP + USE, read=high)
    assert told.shown is Shown.UNFIT
    assert told.against == ("its low of Bead was read as 9 %LEL, not 5\u00a0%LEL as the handbook says now",)
    later = fit(CALIBRATED + BUMP + USE, read=READ + high.splitlines()[1].replace("11-01", "11-20") + "\n")
    assert (later.shown, later.against) == (Shown.NOT_KNOWN, ())
    assert later.unknown == ("since when its low of Bead is 9 %LEL, not 5\u00a0%LEL",)


def test_a_changed_sensor_has_no_calibration_until_it_gets_one(fit):
    change = "d-1,2026-11-01T08:00Z,sensor-change,bead,,,\n"
    told = fit(CALIBRATED + change + BUMP + USE)
    assert "no good calibration of every sensor is on record before it" in told.unknown


def test_the_command_says_it_with_the_lines_and_ends_well_only_where_all_is_shown(tmp_path):
    write(shutil.copytree(SOUND, tmp_path / "site"), SOUND, *written(CALIBRATED + BUMP + USE))
    arguments = ["fit", "d-1", "2026-11-10", "--content", str(tmp_path / "site")]
    done = CliRunner().invoke(handbook, arguments, standalone_mode=False)
    assert done.return_value == 0, done.output
    assert "d-1, 10 Nov 2026    shown fit" in done.output
    assert "[records/r.csv:6]" in done.output  # the first use
    assert "Pit, Crew 2  [movements/m.csv:2]" in done.output
    late = CliRunner().invoke(handbook, [*arguments[:2], "2026-11-21", *arguments[3:]], standalone_mode=False)
    assert (late.return_value, "against it          its state was quarantined" in late.output) == (1, True)
    day = CliRunner().invoke(handbook, ["fit", "d-1", "10.11.2026", *arguments[3:]])
    assert "'10.11.2026' is no date; allowed: YYYY-MM-DD" in day.output
    wrong = CliRunner().invoke(handbook, ["fit", "d-7", *arguments[2:]], standalone_mode=False)
    assert "no unit 'd-7' in the inventory; nearest: d-2, d-1" in str(wrong.exception)
