"""Days, and the stated abilities of instruments, at the very edges."""

from __future__ import annotations

from datetime import date

import pytest

from tests.each import each

EXPIRES = "expires: 2027-06-30\n    certificate: invented\n    balance: air\n    components:\n      - {gas: methane"


@each(
    ("day", "expected"),
    [
        ("2026-11-24", ["stop cylinder-expired"]),
        ("2026-11-25", ["note cylinder-expires-soon"]),
        ("2026-12-25", ["note cylinder-expires-soon"]),
        ("2026-12-26", []),
    ],
)
def test_expiry(told, day, expected):
    assert told(("cylinders.yaml", EXPIRES, EXPIRES.replace("2027-06-30", day))) == expected


LAST = "last: {bump: 2026-11-20, calibration: 2026-10-01, pump-block: 2026-11-20}"


def last(calibration: str, block: str = "2026-11-20") -> tuple[str, str, str]:
    return "inventory.yaml", LAST, f"last: {{bump: 2020-01-01, calibration: {calibration}, pump-block: {block}}}"


@each(
    ("changes", "expected"),
    [
        ((last("2026-05-25"),), []),
        ((last("2026-11-25"),), []),
        ((("inventory.yaml", "2026-10-02", "2026-05-24"),), ["stop check-overdue"]),
        ((last("2026-05-24"),), ["stop check-overdue"]),
        ((last("2026-10-01", "2026-10-24"),), ["stop check-overdue"]),
        ((last("2026-11-26"),), ["stop check-overdue", "stop done-in-future"]),
        ((("inventory.yaml", ", calibration: 2026-10-01", ""),), ["stop check-overdue"]),
        (
            (last("2026-05-24"), ("inventory.yaml", "state: in-use\n    area", "state: spare\n    area")),
            ["warn check-overdue"],
        ),
        ((last("2026-05-24"), ("inventory.yaml", "state: in-use\n    area", "state: repair\n    area")), []),
    ],
)
def test_checks(told, changes, expected):
    assert told(*changes) == expected


@each(
    ("file", "day", "expected"),
    [
        ("procedures/bump.md", "2025-11-24", ["warn review-overdue"]),
        ("procedures/bump.md", "2025-11-25", ["note review-soon"]),
        ("procedures/bump.md", "2025-12-25", ["note review-soon"]),
        ("procedures/bump.md", "2025-12-26", []),
        ("site.yaml", "2025-11-24", ["warn review-overdue"]),
        ("site.yaml", "2025-11-25", ["note review-soon"]),
    ],
)
def test_reviews(told, file, day, expected):
    assert told((file, "reviewed: 2026-06-01", f"reviewed: {day}")) == expected


CARD = """\
id: a
title: Anybody
audience: tester
format: A7
languages: [en]
front:
  - {block: before-use, steps: [Look first.]}
"""


@pytest.mark.parametrize(
    ("effective", "expected"),
    [
        ("2025-11-24", ["warn cards-outlived"]),
        ("2025-11-25", ["note cards-outlived"]),
        ("2025-12-25", ["note cards-outlived"]),
        ("2025-12-26", []),
        ("2026-11-26", []),  # not in force yet
    ],
)
def test_cards_that_people_carry_beyond_their_last_day(found, effective, expected):
    """They are good for 12 months; judged is the 25th of November 2026."""
    names = ("reason", "prepared", "reviewed", "approved")
    text = f"number: 1\neffective: {effective}\n" + "".join(f"{name}: invented\n" for name in names)
    changes = (("revisions/1.yaml", "", text), ("cards/a.yaml", "", CARD))
    told = [one for one in found(*changes) if one.rule == "cards-outlived"]
    assert [f"{one.severity.value} {one.rule}" for one in told] == expected


MODEL, AREA = "models.yaml", "areas.yaml"
SHORT = ("site.yaml", "shift: 12 h", "shift: 14.1 h")
PIT = "    temperature: 15 °C\n"


@each(
    ("changes", "expected"),
    [
        (((MODEL, "length: 10 m", "length: 30 m"),), []),
        (((MODEL, "length: 10 m", "length: 30.1 m"),), ["stop hose-too-long"]),
        (((AREA, PIT, "    hose: 30 m\n"),), []),
        (((AREA, PIT, "    hose: 31 m\n"),), ["stop hose-too-long"]),
        (((AREA, "carry: [vapours]", "carry: [vapours]\n    depth: 3 m"),), ["warn depth-without-pump"]),
        (((AREA, "carry: [vapours]", "carry: [vapours]\n    hose: 3 m"),), ["warn depth-without-pump"]),
        (((AREA, PIT, "    depth: 3 m\n"),), []),
        ((("site.yaml", "shift: 12 h", "shift: 14 h"), (MODEL, "capacity: 84 h", "capacity: 98 h")), []),
        ((SHORT, (MODEL, "capacity: 84 h", "capacity: 99 h")), ["warn runtime-short"]),
        (((MODEL, "capacity: 84 h", "capacity: 83.9 h"),), ["warn log-overwritten"]),
        (((MODEL, "download-every: 7 days", "download-every: 1 month"),), ["warn log-overwritten"]),
        (((MODEL, "84 h, download-every: 7 days", "372 h, download-every: 1 month"),), []),
        (((AREA, PIT, "    temperature: 40 °C\n"),), []),
        (((AREA, PIT, "    temperature: 40.1 °C\n"),), ["warn temperature-outside"]),
        (((AREA, PIT, "    temperature: 0 °C\n"),), []),
        (((AREA, PIT, "    temperature: -0.1 °C\n"),), ["warn temperature-outside"]),
        (((AREA, PIT, ""), ("site.yaml", "temperature: 15 °C", "temperature: 41 °C")), ["warn temperature-outside"]),
    ],
)
def test_abilities(told, changes, expected):
    assert told(*changes) == expected


def test_the_sound_site_is_sound(found):
    assert found() == []


def test_one_lapse_of_several_units_is_told_once(found):
    one, two = "calibration: 2026-10-01", "calibration: 2026-10-02"
    changes = (("inventory.yaml", one, "calibration: 2026-05-24"), ("inventory.yaml", two, "calibration: 2026-05-23"))
    (told,) = [finding for finding in found(*changes) if finding.rule == "check-overdue"]
    assert told.touches == ("unit:d-1", "unit:d-2")
    assert [place.line for place in told.lines] == [8, 15]
    assert told.message == (
        "Calibration of 2 units in use was due: d-1 (by 24\u00a0Nov\u00a02026, every 6 months), "
        "d-2 (by 23\u00a0Nov\u00a02026, every 6 months)."
    )


OLD = """  - id: c-0
    lot: "0"
    expires: 2026-06-30
    certificate: invented
    balance: air
    components:
      - {gas: hydrogen-sulfide, value: 25 ppm, uncertainty: 5 %}
    volume: 1.6 L
    pressure: 1.5 bar
    minimum-pressure: 1.7 bar
    flow: 0.5 L/min
    for: [bump]
    gone: 2026-06-01
cylinders:
"""
"""Past its last day and empty."""


def test_nothing_is_asked_of_a_bottle_that_has_gone(told):
    def listed(text):
        return "cylinders.yaml", "cylinders:\n", "cylinders:\n" + text.replace("cylinders:\n", "")

    here = OLD.replace("    gone: 2026-06-01\n", "")
    assert {"stop cylinder-expired", "stop cylinder-empty"} & set(told(listed(here)))
    assert told(listed(OLD)) == told()


@pytest.mark.parametrize(("day", "expired"), [(date(2026, 11, 19), True), (date(2026, 11, 20), False)])
def test_a_check_with_a_bottle_that_had_gone_proves_nothing(found, day, expired):
    gone = f"    for: [bump]\n    gone: {day}\n"
    text = OLD.replace("2026-06-30", "2027-06-30").replace("    for: [bump]\n    gone: 2026-06-01\n", gone)
    bottle = "cylinders.yaml", "cylinders:\n", "cylinders:\n" + text.replace("cylinders:\n", "")
    record = "unit,time,kind,sensor,cylinder,result\nd-1,2026-11-20T08:00Z,bump-test,sulfide-cell,c-0,pass\n"
    rules = [one.rule for one in found(bottle, ("records/a.csv", "", record))]
    assert ("record-cylinder-expired" in rules) is expired
