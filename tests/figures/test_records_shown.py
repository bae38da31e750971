"""What the pages show of records: the latest rows as written, and months counted by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from fractions import Fraction
from pathlib import Path

import pytest

from builder.base.where import Given, Where
from builder.figures.compute import compute
from builder.figures.logbook.book import file_names
from builder.figures.topics.records import SHOWN, months
from builder.load.content import load_content
from builder.program.read import read_program
from builder.program.records import Record
from builder.reference.library import library

MINIMAL = Path(__file__).parents[1] / "sites" / "minimal"
DAY = date(2026, 11, 25)
ZONE = timezone(timedelta(hours=-7))


@pytest.fixture(scope="module")
def program():
    documents, problems = load_content(MINIMAL)
    return read_program(documents, problems, library())


def row(line, when, kind, sensor="", found="", left="", result="pass", file="records/Bench 2026.csv", unit="d-001"):
    where = Where(file, line)

    def text(value):
        return Given(value, where, value) if value else None

    def number(value):
        return Given(Fraction(value.split()[0]), where, value) if value else None

    return Record(
        unit=Given(unit, where, unit), time=Given(datetime.fromisoformat(when).replace(tzinfo=ZONE), where, when),
        kind=Given(kind, where, kind), sensor=text(sensor), cylinder=text("c-001" if sensor else ""),
        as_found=number(found), as_left=number(left), seconds=None, result=text(result), by=None, note="", where=where,
    )  # fmt: skip


def ledger_of(program, *records):
    ordered = sorted(records, key=lambda record: record.time.value)
    return compute(replace(program, records=tuple(ordered)), DAY).ledger


def test_readings_stand_as_written_with_the_unit_of_the_display(program):
    ledger = ledger_of(
        program,
        row(2, "2026-03-30T08:00", "calibration", "cat-flammable", "22", "25"),
        row(3, "2026-03-30T08:05", "calibration", "o2-cell", "17.80", "18.0"),
    )
    assert ledger["record.bench-2026.2.as-found"].printed == "22\u00a0%LEL"
    assert ledger["record.bench-2026.3.as-found"].text == "17.80"
    assert ledger["record.bench-2026.3.as-left"].printed == "18.0\u00a0%vol"
    assert ledger["record.bench-2026.2.day"].text == "30\u00a0Mar\u00a02026"
    (part,) = ledger["record.bench-2026.2.as-found"].inputs
    assert str(part.where) == "records/Bench 2026.csv:2"


def test_only_the_latest_rows_of_a_unit_are_shown_and_no_days_of_use(program):
    start = datetime(2026, 9, 1, 8)  # noqa: DTZ001 - given its zone in row()
    rows = []
    for number in range(SHOWN + 10):
        moment = (start + timedelta(days=number)).isoformat()
        rows += [row(2 * number + 2, moment, "inspection"), row(2 * number + 3, moment, "use", result="")]
    ledger = ledger_of(program, *rows)
    lines = {int(figure.key.split(".")[2]) for figure in ledger.under("record.bench-2026")}
    assert lines == {2 * number + 2 for number in range(10, SHOWN + 10)}


def test_files_of_like_names_keep_apart(program):
    files = ("records/bench.csv", "records/old/bench.csv", "records/Bench.CSV")
    records = tuple(row(2, f"2026-09-0{day}T08:00", "inspection", file=file) for day, file in enumerate(files, start=1))
    names = file_names(files)
    assert len(set(names.values())) == len(files)
    ledger = ledger_of(program, *records)
    assert sum(figure.key.endswith(".2.day") for figure in ledger.under("record")) == len(files)


def test_months_are_counted_by_what_the_rows_prove(program):
    ledger = ledger_of(
        program,
        row(2, "2026-04-30T23:30", "calibration", "cat-flammable", "22", "25"),
        row(3, "2026-05-01T00:30", "calibration", "cat-flammable", "25", "25"),
        row(4, "2026-05-02T08:00", "calibration", "cat-flammable", "25", "31"),  # pass as written, left outside
        row(5, "2026-05-03T08:00", "inspection", result="fail"),
    )
    assert months(ledger) == ("2026-05", "2026-04")
    told = {
        (month, kind): tuple(ledger[f"records.{month}.{kind}.{part}"].text for part in ("rows", "good", "failed"))
        for month, kind in (("2026-04", "calibration"), ("2026-05", "calibration"), ("2026-05", "inspection"))
    }
    assert told == {
        ("2026-04", "calibration"): ("1", "1", "0"),
        ("2026-05", "calibration"): ("2", "1", "1"),
        ("2026-05", "inspection"): ("1", "0", "1"),
    }


def test_on_time_counts_the_checks_of_a_month_that_came_before_the_last_ran_out(program):
    """Every six months: the first has nothing before it, the second comes on the last day, the third a day late."""
    ledger = ledger_of(
        program,
        *(
            row(line, f"{day}T08:00", "calibration", "cat-flammable", "25", "25")
            for line, day in ((2, "2025-08-31"), (3, "2026-02-28"), (4, "2026-08-29"))
        ),
    )
    assert "records.2025-08.calibration.on-time" not in ledger
    assert ledger["records.2026-02.calibration.on-time"].printed == "100.0\u00a0%"
    assert ledger["records.2026-08.calibration.on-time"].printed == "0.0\u00a0%"


def test_on_time_of_a_daily_check_counts_days_of_use(program):
    rows = [row(2, "2026-11-02T06:00", "bump-test", "cat-flammable", "25")]
    rows += [row(number, f"2026-11-{number:02}T07:00", "use", result="") for number in (3, 4, 5)]
    rows += [row(9, "2026-11-04T06:00", "bump-test", "cat-flammable", "25")]
    found = ledger_of(program, *rows)["records.2026-11.bump-test.on-time"]
    assert (found.printed, found.note) == ("33.3\u00a0%", "n = 3")


def test_without_records_there_is_nothing(program):
    ledger = compute(program, DAY).ledger
    assert not [figure.key for figure in ledger if figure.key.startswith(("record.", "records."))]


def test_figures_that_say_the_same_share_what_they_say(program):
    # a large site has hundreds of thousands of them: what each has of its own decides whether they are held at all
    ledger = ledger_of(
        program,
        row(2, "2026-03-30T08:00", "calibration", "cat-flammable", "22.5", "25"),
        row(3, "2026-03-31T08:00", "calibration", "cat-flammable", "22.5", "25"),
    )
    one, other = (ledger[f"record.bench-2026.{line}.as-found"] for line in (2, 3))
    assert one.exact is other.exact
    assert one.text is other.text
    assert one.inputs[0].value is other.inputs[0].value
    assert one.inputs[0].where != other.inputs[0].where
