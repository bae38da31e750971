"""Silence is not safety: what no record tells is told as not known, and use against a unit's state is found."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from builder.base.where import Given, Where
from builder.figures.compute import compute
from builder.findings.order import find
from builder.program.records import ReadBackSetting
from tests.findings.scale import given, row

SOUND = Path(__file__).parent / "sound"
AS_OF = date(2026, 11, 25)
UNITS = "inventory.yaml"
D2 = 'serial: "2"\n    state: in-use'


@pytest.fixture(name="program")
def _program(program_of):
    return program_of(SOUND)


def found_of(rule, program):
    return [one for one in find(compute(program, AS_OF)) if one.rule == rule]


def use(day, unit="d-2"):
    return row(2, unit, datetime(2026, 11, day, 6, tzinfo=UTC), "use")


def with_state(program, state, since):
    day = Given(since, Where(UNITS, 1), "") if since else None
    unit = replace(program.units["d-2"], state=given(state, Where(UNITS, 1)), since=day)
    return replace(program, units={**program.units, "d-2": unit})


# ISO 9001:2015, 7.1.5.2 and common practice: what is unfit is not used; the first day of the state counts
@pytest.mark.parametrize(
    ("state", "since", "day", "expected"),
    [
        ("quarantined", date(2026, 11, 13), 12, []),
        ("quarantined", date(2026, 11, 13), 13, ["stop"]),
        ("retired", date(2026, 11, 13), 20, ["stop"]),
        ("repair", None, 20, ["warn"]),
        ("in-use", date(2026, 11, 13), 20, []),
        ("spare", None, 20, []),
    ],
)
def test_use_in_a_state_that_forbids_it(program, state, since, day, expected):
    judged = replace(with_state(program, state, since), records=(use(day),))
    assert [one.severity.value for one in found_of("used-in-forbidden-state", judged)] == expected


def test_one_sensor_is_in_one_unit_only(found):
    sensors = "\n    sensors: [{{sensor: {0}, serial: {1}}}]\n    cylinder: c-{2}"
    both = [
        (UNITS, f"    cylinder: c-{number}", sensors.format(sensor, serial, number).removeprefix("\n"))
        for number, sensor, serial in ((1, "oxygen-cell", "OX-1"), (2, "oxygen-cell", "ox-1"))
    ]
    (told,) = [one for one in found(*both, whole=True) if one.rule == "sensor-serial-twice"]
    assert told.severity.value == "stop"
    assert "stands in d-2 and in d-1" in told.message
    assert not [one for one in found(both[0], whole=True) if one.rule == "sensor-serial-twice"]


def test_no_record_no_register_and_no_setting_are_told_as_not_known(program):
    assert [(one.severity.value, one.message.partition(".")[0]) for one in found_of("not-on-record", program)] == [
        ("warn", "No check and no use of any unit is recorded here"),
        ("note", "No movements of units are kept"),
        ("note", "No register of people is kept here"),
        ("note", "No settings were read back from any unit"),
    ]
    recorded = replace(program, records=(use(20),), people={})
    assert [(one.severity.value, one.message.partition(".")[0]) for one in found_of("not-on-record", recorded)] == [
        ("note", "No movements of units are kept"),
        ("note", "No settings were read back from any unit"),
        ("note", "No use is on record of 1 unit in use: d-1"),  # use of another unit says nothing of it
    ]
    tested = row(2, "d-1", datetime(2026, 11, 20, 6, tzinfo=UTC), "bump-test")
    unused = replace(program, records=(tested,), people={})
    assert ("note", "No use of any unit is recorded") in [
        (one.severity.value, one.message.partition(".")[0]) for one in found_of("not-on-record", unused)
    ]


@pytest.mark.parametrize(("day", "expected"), [(date(2025, 11, 25), 0), (date(2025, 11, 24), 1)])
def test_settings_that_were_read_more_than_a_year_ago(program, day, expected):
    # common practice, no source: twelve months
    place = Where("readback/x.csv", 2)
    setting = ReadBackSetting(
        unit=Given("d-1", place, "d-1"),
        read_on=Given(day, place, ""),
        sensor=None,
        name=Given("motionless", place, "motionless"),
        value=Given("60 s", place, "60 s"),
        where=place,
    )
    assert len(found_of("settings-read-long-ago", replace(program, settings=(setting,)))) == expected
