"""What several parties ask of a check, and which of it is the strictest."""

from __future__ import annotations

from fractions import Fraction

import pytest

from builder.base.where import Given, Where
from builder.program.faults import Faults
from builder.program.interval import interval_of
from tests.each import each

SINGLE = "    interval: 2 weeks\n    reason: cracks are seen\n    source: Invented manual\n"
SEVERAL = """\
    intervals:
      - {every: 6 months, by: law, reason: the law, source: s}
      - {every: 180 days, by: manufacturer, reason: the manual, source: s}
      - {every: 90 days, by: area, areas: [pit], reason: it is wet, source: s}
"""


@pytest.fixture
def check(changed, program_of):
    def read(text):
        return program_of(changed(("checks.yaml", SINGLE, text))).checks["look"]

    return read


def interval(text):
    faults = Faults()
    given = interval_of(Given(text, Where("checks.yaml", 1), text), faults)
    assert faults.problems == []
    return given.value


@each(
    ("text", "count", "unit", "days"),
    [
        ("each day of use", 0, "day-of-use", 0),
        ("30 days of use", 30, "day-of-use", 30),
        ("1 day of use", 1, "day-of-use", 1),
        ("20 working days", 20, "working-day", 28),
        ("1 working day", 1, "working-day", Fraction(7, 5)),
        ("2 weeks", 2, "week", 14),
        ("6 months", 6, "month", Fraction(1461, 8)),
        ("1 year", 1, "year", Fraction(1461, 4)),
    ],
)
def test_intervals_and_how_long_they_last_about(text, count, unit, days):
    found = interval(text)
    assert (found.count, found.unit, found.text, found.nominal_days) == (count, unit, text, days)
    assert found.each_day_of_use == (text == "each day of use")
    assert found.by_calendar == (unit not in ("day-of-use", "working-day"))


def test_one_interval_is_asked_by_the_site_everywhere(check):
    found = check(SINGLE)
    assert [(asked.by.value, asked.areas, asked.interval.text) for asked in found.intervals] == [
        ("site", (), "2 weeks")
    ]
    assert (found.interval.text, found.reason.value, found.source.value) == (
        "2 weeks", "cracks are seen", "Invented manual"
    )  # fmt: skip


def test_the_strictest_wins_and_an_area_may_ask_for_more(check):
    found = check(SEVERAL)
    assert (found.interval.text, found.reason.value) == ("180 days", "the manual")
    assert found.strictest_in("pit").reason.value == "it is wet"
    assert [asked.by.value for asked in found.asked_in("pit")] == ["law", "manufacturer", "area"]
    assert found.strictest_in("store").reason.value == "the manual"
    assert found.strictest_in("Rack, in the yard office").reason.value == "the manual"


def test_where_each_is_asked_in_some_areas_only_the_others_ask_nothing(check):
    found = check("    intervals: [{every: 90 days, by: area, areas: [pit], reason: r, source: s}]\n")
    assert found.interval.text == "90 days"
    assert found.strictest_in("store") is None


def test_working_days_need_a_calendar(changed, told):
    folder = changed(("checks.yaml", "interval: 2 weeks", "interval: 20 working days"))
    assert told(folder) == []
    (folder / "calendar.yaml").unlink()
    assert told(folder) == [
        "checks.yaml:29: '20 working days' without a calendar; allowed: calendar.yaml with the site's working days"
    ]
