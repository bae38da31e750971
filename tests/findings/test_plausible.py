"""Slips of the hand are not taken in silence: values nobody has, reviews to come, rows that stand twice.

The bounds are common practice without a published source, wide enough for whatever is sold and worn. The highest town
lies at about 5,100 m (La Rinconada), the lowest dry land at about -430 m (shore of the Dead Sea), both from memory.
"""

from __future__ import annotations

from datetime import date

import pytest

from tests.findings.conftest import SOUND

MODELS, SITE, INVENTORY = "models.yaml", "site.yaml", "inventory.yaml"
T90 = "resolution: 1 ppm, t90: 30 s"
RUNTIME = "battery: {runtime: 14 h}\n    log"


def of(rule, findings):
    return [(one.severity.value, one.where.file) for one in findings if one.rule == rule]


@pytest.mark.parametrize(
    ("change", "count"),
    [
        ((MODELS, T90, T90.replace("30 s", "10 min")), 0),
        ((MODELS, T90, T90.replace("30 s", "601 s")), 1),
        ((MODELS, T90, T90.replace("30 s", "15 min")), 1),
        ((SITE, "altitude: 100 m", "altitude: 5500 m"), 0),
        ((SITE, "altitude: 100 m", "altitude: 5501 m"), 1),
        ((SITE, "altitude: 100 m", "altitude: 8500 m"), 1),
        ((SITE, "altitude: 100 m", "altitude: -430 m"), 0),
        ((MODELS, RUNTIME, RUNTIME.replace("14 h", "200 h")), 0),
        ((MODELS, RUNTIME, RUNTIME.replace("14 h", "900 h")), 1),
        ((MODELS, "flow: 0.5 L/min", "flow: 50 L/min"), 1),
        ((MODELS, "bore: 3 mm", "bore: 3 m"), 1),
        ((SITE, "shift: 12 h", "shift: 24 h"), 0),
        ((SITE, "shift: 12 h", "shift: 25 h"), 1),
    ],
)
def test_a_value_beyond_what_there_is_stops(change, count, found):
    assert of("value-implausible", found(change)) == [("stop", change[0])] * count


def test_whoever_has_such_a_thing_answers_for_it(found):
    answer = "accepted:\n  - {rule: value-implausible, about: model:pumped, reason: a buoy with its own panel,"
    answer += " by: A. Person, on: 2026-11-02, review: 2027-05-01}\n"
    change = (MODELS, RUNTIME, RUNTIME.replace("14 h", "900 h"))
    assert of("value-implausible", found(change, ("accepted.yaml", "", answer), whole=True)) == [("warn", MODELS)]


@pytest.mark.parametrize(("day", "count"), [("2026-11-25", 0), ("2026-11-26", 1), ("2062-06-01", 1)])
def test_a_review_to_come_is_told(day, count, found):
    findings = found((SITE, "reviewed: 2026-06-01", f"reviewed: {day}"), as_of=date(2026, 11, 25))
    assert of("review-in-future", findings) == [("warn", SITE)] * count


HEAD = "unit,time,kind,sensor,as-found,result,by,note\n"
ROW = "{unit},2026-11-20T06:00Z,bump-test,bead,50,pass,,{note}\n"


@pytest.mark.parametrize(
    ("second", "count"),
    [
        (ROW.format(unit="{unit}", note="again"), 1),
        (ROW.format(unit="{unit}", note="").replace(",50,", ",51,"), 0),
        (ROW.format(unit="{unit}", note="").replace("06:00Z", "06:01Z"), 0),
        (ROW.format(unit="{unit}", note="").replace("2026-11-20T06:00Z", "2026-11-20T07:00+01:00"), 1),
    ],
    ids=["same", "other reading", "other time", "same time of another zone"],
)
def test_a_row_that_stands_twice_is_told_whatever_its_note(second, count, found):
    text = (SOUND / INVENTORY).read_text(encoding="utf-8")
    unit = text.split("id: ")[1].split("\n")[0].strip()
    rows = HEAD + ROW.format(unit=unit, note="") + second.replace("{unit}", unit)
    assert of("record-doubled", found(("records/rounds.csv", "", rows))) == [("warn", "records/rounds.csv")] * count
