"""Calendars read back by a strict reader of RFC 5545 written here from its text, and compared with the ledger."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from itertools import takewhile
from pathlib import Path

import pytest

from builder.pages.calendars import CalendarFile, Event, calendar_path, calendars
from builder.pipeline import judge
from builder.publish.calendar import calendar_ics
from tests.each import each
from tests.shared import computed_with

MINIMAL = Path(__file__).parents[1] / "sites" / "minimal"
DAY = date(2026, 11, 25)
LINE = re.compile(
    r"(?P<name>[A-Z0-9-]+)(?P<params>(?:;[A-Z0-9-]+=(?:\"[^\"]*\"|[^\x00-\x1f\";:,]*))*):(?P<value>[^\x00-\x08\x0a-\x1f]*)"
)
"""A content line, RFC 5545 section 3.1."""
ESCAPED = {"\\\\": "\\", "\\;": ";", "\\,": ",", "\\n": "\n", "\\N": "\n"}
"""Section 3.3.11; a backslash before anything else, and a bare comma or semicolon, are faults."""


def content_lines(data: bytes) -> list[tuple[str, dict[str, str], str]]:
    assert data.endswith(b"\r\n")
    physical = data.removesuffix(b"\r\n").split(b"\r\n")
    assert all(b"\r" not in line and b"\n" not in line for line in physical)
    assert all(0 < len(line) <= 75 for line in physical), "a line is longer than 75 octets"
    unfolded: list[bytes] = []
    for line in physical:
        if line[:1] in (b" ", b"\t"):
            unfolded[-1] += line[1:]
        else:
            unfolded.append(line)
    made = []
    for line in unfolded:
        match = LINE.fullmatch(line.decode("utf-8"))
        assert match, line
        params = dict(part.split("=", 1) for part in match["params"].split(";") if part)
        made.append((match["name"], params, match["value"]))
    return made


def text(value: str) -> str:
    parts = re.findall(r"\\.|[^\\]", value, re.DOTALL)
    assert not [part for part in parts if part in ",;" or (part[0] == "\\" and part not in ESCAPED)], value
    return "".join(ESCAPED.get(part, part) for part in parts)


def events(data: bytes) -> list[dict[str, str]]:
    lines = content_lines(data)
    assert lines[0] == ("BEGIN", {}, "VCALENDAR")
    assert lines[-1] == ("END", {}, "VCALENDAR")
    head = [(name, value) for name, _, value in takewhile(lambda line: line[0] != "BEGIN", lines[1:-1])]
    assert [value for name, value in head if name == "VERSION"] == ["2.0"]
    assert sum(name == "PRODID" for name, _ in head) == 1
    (title,) = [text(value) for name, value in head if name == "NAME"]
    assert [text(value) for name, value in head if name == "X-WR-CALNAME"] == [title]
    made: list[dict[str, str]] = []
    current: dict[str, str] | None = None
    for name, params, value in lines[1:-1]:
        if (name, value) == ("BEGIN", "VEVENT"):
            assert current is None
            current = {}
        elif (name, value) == ("END", "VEVENT"):
            assert current is not None
            assert {"UID", "DTSTAMP", "DTSTART"} <= set(current)
            made.append(current)
            current = None
        elif current is not None:
            assert name not in current, f"{name} twice"
            if name == "DTSTART":
                assert params == {"VALUE": "DATE"}
            current[name] = text(value) if name in ("SUMMARY", "DESCRIPTION", "LOCATION") else value
    assert current is None
    return made


@pytest.fixture(scope="module")
def judged():
    return judge(MINIMAL, DAY)


@pytest.fixture(scope="module")
def files(judged):
    return calendars(judged.computed)


def test_there_is_one_of_the_site_and_one_an_area_with_units(files):
    assert [file.path for file in files] == ["calendar/all.ics", "calendar/pit.ics"]
    assert calendar_path("all") != calendar_path("")


def test_each_event_is_an_all_day_one_on_the_due_date_of_the_ledger(judged, files):
    found = {event["UID"]: event for event in events(calendar_ics(files[0], DAY))}
    due = judged.ledger["unit.d-001.calibration.due"].exact
    assert found["ley.d-001.calibration@detector-handbook"]["DTSTART"] == f"{due:%Y%m%d}" == "20260930"
    never = found["ley.d-002.calibration@detector-handbook"]
    assert "never done" in never["SUMMARY"]
    assert never["DTSTART"] == "20261125"
    assert set(found) == {"ley.d-001.calibration@detector-handbook", "ley.d-002.calibration@detector-handbook"}


def test_stamps_come_from_the_day_of_the_handbook_and_no_clock(files):
    stamps = {event["DTSTAMP"] for event in events(calendar_ics(files[0], DAY))}
    assert stamps == {"20261125T000000Z"}
    assert calendar_ics(files[0], DAY) == calendar_ics(files[0], DAY)


def test_an_event_keeps_its_id_when_its_day_moves_and_in_both_calendars(judged, files):
    due = judged.ledger["unit.d-001.calibration.due"]
    later = replace(due, exact=due.exact + timedelta(days=40))
    ledger = replace(judged.ledger, figures={**judged.ledger.figures, due.key: later})
    moved = events(calendar_ics(calendars(computed_with(judged.program, ledger))[0], DAY))
    before = events(calendar_ics(files[0], DAY))
    assert {event["UID"] for event in moved} == {event["UID"] for event in before}
    assert {event["DTSTART"] for event in moved} != {event["DTSTART"] for event in before}
    assert {event["UID"] for event in events(calendar_ics(files[1], DAY))} == {
        "ley.d-001.calibration@detector-handbook"
    }


@each(
    "words",
    [
        "commas, semicolons; back\\slashes, and\nnew lines",
        "é" * 200,
        "x" * 74 + "€" * 30,
        "BEGIN:VEVENT\r\nUID:stolen",
        "\\n is no new line; \\, neither",
    ],
)
def test_any_text_comes_back_as_it_was(words):
    event = Event(uid="a.b.c@x", day=DAY, summary=words, text=words, place=words)
    file = CalendarFile(path="calendar/x.ics", title=words, area="", events=(event,))
    (found,) = events(calendar_ics(file, DAY))
    assert found["UID"] == "a.b.c@x"
    assert found["SUMMARY"].replace("\r\n", "\n") == words.replace("\r\n", "\n")
    assert found["LOCATION"].replace("\r\n", "\n") == words.replace("\r\n", "\n")


def test_a_calendar_without_events_is_still_one(files):
    assert events(calendar_ics(replace(files[0], events=()), DAY)) == []
