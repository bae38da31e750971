"""Records, settings, people and working days as they are read."""

from __future__ import annotations

from dataclasses import fields
from datetime import UTC, date, datetime, timedelta, timezone
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest

from builder.base.errors import ContentError
from builder.base.where import Given, Where
from builder.program.calendar import Calendar
from builder.program.clock_times import Clock, TimeError, zone_of
from builder.program.faults import Faults
from tests.each import each

DENVER = ZoneInfo("America/Denver")
HEAD = "unit,time,kind,sensor,cylinder,as-found,as-left,seconds,result,by,note\n"


@pytest.fixture
def program(program_of, site):
    return program_of(site)


@pytest.fixture
def with_rows(changed, program_of):
    """The program with other rounds: the rows below the plain heads, or bytes."""

    def read(rows, name="rounds.csv"):
        folder = changed()
        data = rows if isinstance(rows, bytes) else (HEAD + rows).encode()
        (folder / "records" / name).write_bytes(data)
        return program_of(folder)

    return read


def value(given):
    return given.value if given else None


def plain(record):
    """A record without the place it stands at."""
    given = (record.unit, record.time, record.kind, record.sensor, record.cylinder, record.as_found, record.as_left)
    return (*(value(one) for one in (*given, record.seconds, record.result, record.by)), record.note)


def test_records_of_all_files_come_by_time_then_by_file_and_row(program):
    assert [(str(record.where), record.kind.value) for record in program.records] == [
        ("records/rounds.csv:4", "bump-test"),
        ("records/rounds.csv:2", "bump-test"),
        ("records/rounds.csv:3", "use"),
        ("records/bench-1.csv:2", "calibration"),
        ("records/bench-1.csv:3", "calibration"),
    ]


def test_a_row_is_read_in_the_unit_of_the_display_and_keeps_its_spelling(program):
    found = program.records[0]
    assert plain(found) == (
        "d-001", datetime(2026, 11, 23, 5, 40, 30, tzinfo=UTC), "bump-test", "h2s", "c-1",
        Fraction(25), None, Fraction(25, 2), "fail", "kd", "two\nlines",
    )  # fmt: skip
    assert (found.as_found.text, found.given(found.as_found).where) == ("0.0025 %vol", Where("records/rounds.csv", 4))
    assert found.day == date(2026, 11, 23)


def test_a_map_gives_a_users_columns_and_words_their_meaning(program):
    found = program.records[3]
    assert plain(found) == (
        "d-001", datetime(2026, 11, 24, 13, 40, tzinfo=UTC), "calibration", "h2s", None,
        Fraction(-1), None, None, "pass", None, "",
    )  # fmt: skip
    assert found.day == date(2026, 11, 24)
    assert [given.text for given in (found.time, found.kind, found.sensor)] == ["24.11.2026 06:40", "Adjusted", "Foul"]


def test_units_and_cylinders_that_do_not_exist_are_kept(program):
    found = program.records[2]
    assert (found.unit.value, found.cylinder.value, found.by.value) == ("d-999", "c-999", "zz")


def test_what_instruments_say_is_kept_as_written(program):
    assert [(one.name.value, value(one.sensor), one.value.value) for one in program.settings] == [
        ("low", "h2s", "5 ppm"),
        ("target", "cat", "methane"),
        ("factor", "cat", "1.5"),
        ("motionless", None, "60 s"),
    ]
    assert {one.read_on.value for one in program.settings} == {date(2026, 11, 20)}


def test_people_and_labels_are_read(program):
    person = program.people["kd"]
    assert ([kind.value for kind in person.kinds], person.until.value) == (["bump-test", "use"], date(2027, 1, 9))
    assert [(sheet.id, sheet.columns.value) for sheet in program.labels] == [("small", 3)]


def test_a_site_may_have_none_of_these(changed, program_of):
    folder = changed()
    for name in ("maps.yaml", "people.yaml", "calendar.yaml", "labels.yaml"):
        (folder / name).unlink()
    for path in [*(folder / "records").iterdir(), *(folder / "readback").iterdir()]:
        path.unlink()
    program = program_of(folder)
    assert (program.records, program.people, program.settings, program.calendar, program.labels) == (
        (), None, (), None, ()
    )  # fmt: skip


ROWS = (
    "d-001,2026-11-24T05:40-07:00,bump-test,o2,c-1,17.9,,12,pass,kd,\n"
    "d-001,2026-11-24T05:40-07:00,bump-test,h2s,c-1,24.5,,14,pass,kd,\n"
)


@pytest.mark.parametrize(
    "data",
    [
        (HEAD + ROWS).replace("\n", "\r\n").encode(),
        (HEAD + ROWS).replace("\n", "\r").encode(),
        b"\xef\xbb\xbf" + (HEAD + ROWS).encode(),
        (HEAD + ROWS).replace(",", ";").encode(),
        "\n".join(
            ",".join(f'"{cell}"' for cell in line.split(",")) for line in (HEAD + ROWS).split("\n")[:-1]
        ).encode(),
        (HEAD + ROWS + ",,,,,,,,,,\n\n").encode(),
        (HEAD + ROWS).replace("\n", ",,\n").encode(),
        (HEAD + ROWS).replace(",", " , ").encode(),
    ],
    ids=["crlf", "cr", "mark", "semicolons", "quotes", "empty rows", "empty columns", "blanks"],
)
def test_however_a_program_writes_csv_the_records_are_the_same(data, with_rows):
    def row(sensor, found, seconds):
        moment = datetime(2026, 11, 24, 12, 40, tzinfo=UTC)
        return ("d-001", moment, "bump-test", sensor, "c-1", Fraction(found), None, seconds, "pass", "kd", "")

    found = [plain(one) for one in with_rows(data).records if one.where.file == "records/rounds.csv"]
    assert found == [row("o2", "17.9", 12), row("h2s", "24.5", 14)]


def test_a_number_may_have_a_comma_where_the_map_says_so(changed, program_of):
    folder = changed(("maps.yaml", "    ignore: [Weather]\n", "    ignore: [Weather]\n    decimal: comma\n"))
    path = folder / "records/bench-1.csv"
    text = path.read_text(encoding="utf-8").replace(",", ";").replace(";-1;", ";24,5;")
    path.write_text(text, encoding="utf-8")
    assert program_of(folder).records[3].as_found.value == Fraction(49, 2)


def test_faults_beyond_fifty_are_counted(with_rows):
    with pytest.raises(ContentError) as caught:
        with_rows("d-001,yesterday,use,,,,,,,,\n" * 60)
    told = str(caught.value).split("\n")
    assert len(told) == 51
    more = "and 10 more faults in lines up to this one"
    assert told[-1] == f"records/rounds.csv:61: {more}; allowed: the first 50 are listed"


def test_with_a_faulty_map_nothing_is_said_of_the_tables_it_is_for(changed, told):
    folder = changed(("maps.yaml", "kind: What", "kin: What"))
    assert [line.partition(":")[0] for line in told(folder)] == ["maps.yaml"]
    (folder / "maps.yaml").write_text("records: [\n", encoding="utf-8")
    assert [line.partition(":")[0] for line in told(folder)] == ["maps.yaml"]


# ---- times -------------------------------------------------------------


@each(
    ("text", "expect"),
    [
        ("2026-11-24T06:40-07:00", datetime(2026, 11, 24, 13, 40, tzinfo=UTC)),
        ("2026-11-24 06:40:30-0700", datetime(2026, 11, 24, 13, 40, 30, tzinfo=UTC)),
        ("2026-11-24T06:40:30.25Z", datetime(2026, 11, 24, 6, 40, 30, 250000, tzinfo=UTC)),
        ("2026-11-24T06:40", datetime(2026, 11, 24, 13, 40, tzinfo=UTC)),
        ("2026-07-01T06:40", datetime(2026, 7, 1, 12, 40, tzinfo=UTC)),
        ("2028-02-29T06:40", datetime(2028, 2, 29, 13, 40, tzinfo=UTC)),
        ("2026-11-01T01:30-06:00", datetime(2026, 11, 1, 7, 30, tzinfo=UTC)),
        ("2026-11-01T01:30-07:00", datetime(2026, 11, 1, 8, 30, tzinfo=UTC)),
        ("2026-11-01T00:59", datetime(2026, 11, 1, 6, 59, tzinfo=UTC)),
        ("2026-11-01T02:00", datetime(2026, 11, 1, 9, 0, tzinfo=UTC)),
        ("2026-03-08T01:59", datetime(2026, 3, 8, 8, 59, tzinfo=UTC)),
        ("2026-03-08T03:00", datetime(2026, 3, 8, 9, 0, tzinfo=UTC)),
    ],
)
def test_a_time_names_one_moment(text, expect):
    """Clocks in Denver: 2026-03-08 02:00 put forward, 2026-11-01 02:00 put back (zone database)."""
    moment = Clock(zone=DENVER).read(text)
    assert moment == expect
    assert isinstance(moment.tzinfo, timezone)


@each(
    ("text", "word"),
    [
        ("2026-03-08T02:00", "does not exist"),
        ("2026-03-08T02:59:59", "does not exist"),
        ("2026-11-01T01:00", "comes twice"),
        ("2026-11-01T01:59", "comes twice"),
        ("2026-11-24", "for 'time'"),
        ("20261124T0640", "for 'time'"),
        ("2026-W48-2T06:40", "for 'time'"),
        ("2026-11-24T24:40", "for 'time'"),
        ("2026-11-24T06:40+25:00", "for 'time'"),
        ("2027-02-29T06:40Z", "for 'time'"),
        ("1969-12-31T06:40Z", "the year 1969"),
        ("", "for 'time'"),
    ],
)
def test_a_time_that_names_none_or_two_is_refused(text, word):
    with pytest.raises(TimeError, match=word):
        Clock(zone=DENVER).read(text)


def test_a_time_format_is_not_taken_for_iso_8601():
    clock = Clock(form="%Y-%d-%m %H:%M", zone=DENVER)
    assert clock.read("2026-03-04 06:40") == datetime(2026, 4, 3, 12, 40, tzinfo=UTC)
    assert clock.read("2026-03-04T06:40Z") == datetime(2026, 3, 4, 6, 40, tzinfo=UTC)
    assert clock.day("2026-03-04 06:40") == date(2026, 4, 3)


@pytest.mark.parametrize("name", ["America", "/etc/passwd", "../x", "Mars/Olympus", "\0", "x" * 300])
def test_a_zone_that_is_none_is_noted(name):
    noted = Faults()
    assert zone_of(Given(name, Where("maps.yaml", 1), name), noted) is None
    assert len(noted.problems) == 1


# ---- working days ------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "count", "expect"),
    [
        ("2026-11-25", 0, "2026-11-25"),
        ("2026-11-25", 1, "2026-11-27"),
        ("2026-11-20", 5, "2026-11-30"),
        ("2026-11-28", 1, "2026-11-30"),
        ("2026-12-24", 1, "2026-12-28"),
        ("2028-02-28", 2, "2028-03-01"),
    ],
)
def test_working_days_pass_over_weekends_and_holidays(program, start, count, expect):
    """By the calendar on the wall: 2026-11-26 a Thursday and 2026-12-25 a Friday are holidays."""
    assert program.calendar.add_working_days(date.fromisoformat(start), count) == date.fromisoformat(expect)


def test_every_day_reached_is_a_working_day():
    place = Where("calendar.yaml", 1)
    calendar = Calendar(
        zone=Given("UTC", place, "UTC"),
        working_days=frozenset({1, 5}),
        holidays=frozenset({date(2026, 12, 26)}),
        where=place,
    )
    start = date(2026, 11, 25)
    reached = [calendar.add_working_days(start, count) for count in range(1, 30)]
    every = [day for n in range(1, 120) if calendar.is_working(day := start + timedelta(days=n))]
    assert reached == every[:29]


def test_rows_that_say_the_same_share_all_but_their_place(with_rows):
    # a large site has a million rows: what each has of its own decides whether they are held at all
    row = "d-001,2026-11-24T05:40-07:00,bump-test,o2,c-1,17.9,18,12,pass,kd,seen\n"
    one, other = (record for record in with_rows(row + row).records if record.where.file == "records/rounds.csv")
    own = [field.name for field in fields(one) if getattr(one, field.name) is not getattr(other, field.name)]
    assert set(own) <= {"where", "note"}
