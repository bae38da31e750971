"""A test station judges by what it was told of the gas on its inlets."""

from __future__ import annotations

import pytest

from builder.base.errors import ContentError
from tests.each import each

STATION = """stations:
  - id: box
    name: Box
    location: Bench
    models: [pumped]
    inlets:
      - {inlet: 1}
      - {inlet: 2, cylinder: CYLINDER, set-to: "LOT"}
    software: invented
    leak-test: {every: 7 days, last: DAY}
    log: invented
"""


@each(
    ("cylinder", "lot", "day", "expected"),
    [
        ("c-1", "1", "2026-11-20", []),
        ("c-1", "2", "2026-11-20", ["stop"]),  # the lot of the other cylinder
        ("c-2", "2", "2026-11-20", ["stop"]),  # isobutylene in air: nothing for methane and hydrogen sulfide
        ("c-1", "1", "2026-11-18", []),  # a week later is the day itself
        ("c-1", "1", "2026-11-17", ["warn"]),
    ],
)
def test_what_is_wrong_with_a_station(found, cylinder, lot, day, expected):
    # common practice, no source
    text = STATION.replace("CYLINDER", cylinder).replace("LOT", lot).replace("DAY", day)
    findings = found(("stations.yaml", "", text))
    assert [one.severity.value for one in findings if one.rule == "station-wrong"] == expected


HEAD = "station,time,what,inlet,lot,unit,result,software\n"
GOOD = HEAD + "box,2026-11-23T06:00Z,leak-test,,,,pass,\nbox,2026-11-24T06:00Z,bottle,2,1,,,invented\n"
SOUND = STATION.replace("CYLINDER", "c-1").replace("LOT", "1").replace("DAY", "2026-11-20")
RECORD = "unit,time,kind,cylinder,result\nd-1,2026-11-24T07:00Z,bump-test,c-1,pass\n"


@pytest.fixture(name="told")
def _told(found):
    def judge(log, *more):
        rows = (("station-log/box.csv", "", log),) if log else ()
        findings = found(("stations.yaml", "", SOUND), *rows, *more, rules={"station-log"})
        return [(one.severity.value, one.message) for one in findings]

    return judge


# common practice, no source: a station that was told of another gas, leaks, or runs unwatched proves nothing
@each(
    ("log", "weight", "said"),
    [
        ("", "note", "nothing of its own log is here"),
        (GOOD + "box,2026-11-24T07:00Z,test,2,2,d-1,pass,\n", "stop", "cylinder c-1 of lot 1 is joined"),
        (GOOD + "box,2026-11-24T07:00Z,test,1,1,d-1,pass,\n", "stop", "clean air is joined there"),
        (GOOD + "box,2026-11-24T07:00Z,test,3,1,d-1,pass,\n", "stop", "no such inlet"),
        (GOOD + "box,2026-11-24T07:00Z,leak-test,,,,fail,\n", "stop", "failed"),
        (GOOD + "box,2026-11-24T07:00Z,leak-test,,,,,\n", "warn", "has no result"),
        (GOOD + "box,2026-11-24T07:00Z,software,,,,,newer\n", "warn", "'newer'"),
        (GOOD + "box,2026-11-24T07:00Z,test,2,1,d-9,pass,\n", "warn", "the inventory does not have"),
        (GOOD + "box,2026-11-24T07:00Z,test,2,1,d-2,pass,\n", "warn", "of a model that it is not for"),
        (GOOD + "crate,2026-11-24T07:00Z,leak-test,,,,pass,\n", "warn", "'crate'"),
        (HEAD + "box,2026-11-17T06:00Z,leak-test,,,,pass,\n", "warn", "ends on"),
    ],
)
def test_what_a_station_wrote_itself(told, log, weight, said):
    ((severity, message),) = told(log, ("records/r.csv", "", RECORD))
    assert severity == weight
    assert said in message


def test_the_line_of_the_last_leak_test_is_shown(found):
    leak = "box,2026-11-{}T07:00Z,leak-test,,,,{},\n"
    log = HEAD + leak.format(22, "fail") + leak.format(23, "pass") + leak.format(24, "fail")
    findings = found(("stations.yaml", "", SOUND), ("station-log/box.csv", "", log), whole=True)
    (told,) = [one for one in findings if one.rule == "station-log"]
    assert (told.severity.value, told.where.line) == ("stop", 4)
    assert "its last leak test, of 24\u00a0Nov\u00a02026, failed." in told.message


def test_a_log_that_agrees_says_nothing_and_a_week_old_one_just_does(told):
    assert told(GOOD) == []
    assert told(HEAD + "box,2026-11-18T06:00Z,leak-test,,,,pass,\n") == []
    assert told(GOOD + "box,2026-11-24T07:00Z,test,2,1,d-1,pass,\n", ("records/r.csv", "", RECORD)) == []


FAILED = "box,2026-11-24T07:00Z,test,2,1,d-1,fail,\n"


@each(
    ("log", "record", "expected"),
    [
        (FAILED, RECORD, "stop"),  # the record of that moment says pass: one of the two was changed
        (FAILED, "", "stop"),
        (FAILED, RECORD.replace("T07:00", "T07:20"), None),
        (FAILED + FAILED.replace("07:00", "07:10").replace("fail", "pass"), RECORD, None),
        (FAILED, RECORD.replace("pass", "fail"), None),  # what follows a failure on record is told by itself
    ],
)
def test_a_failure_that_the_station_wrote_and_nobody_put_right(told, log, record, expected):
    """OSHA SHIB 11-26-2024: failed, then full calibration; failed again, out of service."""
    found = told(GOOD + log, *([("records/r.csv", "", record)] if record else []))
    assert [severity for severity, _ in found] == ([expected] if expected else [])
    assert all("d-1 failed on 24" in message and "nothing later" in message for _, message in found)


@pytest.mark.parametrize(("result", "how"), [("pass", "tested"), ("", "tested")])
def test_a_test_of_which_no_record_tells(result, how, told):
    ((severity, message),) = told(GOOD + f"box,2026-11-24T07:00Z,test,2,1,d-1,{result},\n")
    assert severity == "warn"
    assert message == f"Box: by its own log it {how} d-1 on 24\u00a0Nov\u00a02026; no record tells of it."


def test_its_own_log_tells_of_a_later_leak_test(found):
    # by hand: the content says 10 November, so it would be due on the 17th; the log has one of the 23rd
    late = SOUND.replace("2026-11-20", "2026-11-10")
    assert [one for one in found(("stations.yaml", "", late)) if one.rule == "station-wrong"]
    assert not [
        one
        for one in found(("stations.yaml", "", late), ("station-log/box.csv", "", GOOD))
        if one.rule == "station-wrong"
    ]


@each(
    ("row", "said"),
    [
        ("box,2026-11-24,leak-test,,,,pass,", "'2026-11-24'"),
        ("box,2026-11-24T06:00Z,leak,,,,pass,", "'leak' for 'what'"),
        ("box,2026-11-24T06:00Z,test,2,1,,pass,", "a test without unit"),
        ("box,2026-11-24T06:00Z,test,two,1,d-1,pass,", "'two' for 'inlet'"),
        ("box,2026-11-24T06:00Z,test,2,1,d-1,ok,", "'ok' for 'result'"),
    ],
)
def test_a_row_that_cannot_be_read_is_refused_with_its_line(told, row, said):
    with pytest.raises(ContentError) as refused:
        told(HEAD + row + "\n")
    assert said in str(refused.value)
    assert "station-log/box.csv:2" in str(refused.value)


# common practice, no source: what leaks is tested at least once in a month
@each(
    ("every", "expected"),
    [("7 days", []), ("1 month", []), ("31 days", []), ("32 days", ["warn"]), ("12 months", ["warn"])],
)
def test_a_leak_test_that_is_rarer_than_a_month_is_told(found, every, expected):
    text = STATION.replace("CYLINDER", "c-1").replace("LOT", "1").replace("DAY", "2026-11-20").replace("7 days", every)
    findings = found(("stations.yaml", "", text))
    assert [one.severity.value for one in findings if one.rule == "interval-too-long"] == expected
