"""Just within its bound a rule is silent, just beyond it speaks, and it says which of its cases it found.

The bounds are those that each rule states with its source; all others are common practice, no source.
"""

from __future__ import annotations

from functools import partial

import pytest

AREAS, CHECKS, CYLINDERS, MODELS = "areas.yaml", "checks.yaml", "cylinders.yaml", "models.yaml"
SENSORS, SETPOINTS, SITE = "sensors.yaml", "setpoints.yaml", "site.yaml"
PROOF = "there: 50 %LEL, shown: 26 %LEL"
SULFIDE = "{gas: hydrogen-sulfide, value: 25 ppm"
WINDOW, RATIO = "hydrogen-sulfide: {absolute: 2 ppm}", "    ratio: {from: 0.01, to: 1000}\n"
SULFIDE_LOW = "low: {set: 5 ppm, protects: niosh.ceiling, action: Leave.}"
THIN = (CYLINDERS, SULFIDE, SULFIDE.replace("25", "8"))
WIDER, NO_WINDOW = (CHECKS, WINDOW, WINDOW.replace("2 ", "2.1 ")), (CHECKS, f"      {WINDOW}\n", "")
SECOND = "\n    high: {set: 5.5 ppm, protects: niosh.ceiling, action: Go.}"
TWO_ALARMS = (SETPOINTS, SULFIDE_LOW, SULFIDE_LOW + SECOND)
FINE = (MODELS, "full-scale: 100 ppm, resolution: 1 ppm", "full-scale: 100 ppm, resolution: 0.1 ppm")


@pytest.fixture(name="found")
def _found(found):
    return partial(found, whole=True)


@pytest.mark.parametrize(
    ("rule", "changes", "count"),
    [
        # 30 CFR 250.490 (j)(6)(ii): 2 ppm are always allowed, also where a fifth of the gas is less
        ("window-too-wide", [THIN], 0),
        ("window-too-wide", [THIN, WIDER], 1),
        # factor 1.9: 47.5/20 is just 1.9/0.8, and 38/25 is 1.9/1.25
        ("factor-inverted", [(SENSORS, PROOF, "there: 47.5 %LEL, shown: 20 %LEL")], 0),
        ("factor-inverted", [(SENSORS, PROOF, "there: 47.6 %LEL, shown: 20 %LEL")], 1),
        ("factor-inverted", [(SENSORS, PROOF, "there: 38 %LEL, shown: 25 %LEL")], 0),
        ("factor-inverted", [(SENSORS, PROOF, "there: 37.9 %LEL, shown: 25 %LEL")], 1),
        ("review-seldom", [(SITE, "review-every: 12 months", "review-every: 366 days")], 0),
        ("review-seldom", [(SITE, "review-every: 12 months", "review-every: 367 days")], 1),
        # without a window nothing says how far a display may drift, so half a ppm can be told apart by steps of a tenth
        ("alarms-too-close", [FINE, NO_WINDOW, TWO_ALARMS], 0),
        # 25 times an alarm at 1 ppm is far above twice; at 20 %vol gas and alarm are one, and it must be below
        ("bump-ratio", [(CHECKS, RATIO, ""), (SETPOINTS, SULFIDE_LOW, SULFIDE_LOW.replace("5 ppm", "1 ppm"))], 1),
        ("bump-ratio", [(CHECKS, RATIO, ""), (SETPOINTS, SULFIDE_LOW, SULFIDE_LOW.replace("5 ppm", "13 ppm"))], 0),
        ("bump-ratio", [(SETPOINTS, "low: {set: 20 %vol", "low: {set: 18 %vol")], 2),
    ],
)  # fmt: skip
def test_within_and_beyond(rule, changes, count, found):
    assert len([one for one in found(*changes) if one.rule == rule]) == count


def test_a_bottle_without_gas_is_told_with_its_pressure(found):
    old = f"{SULFIDE}, uncertainty: 5 %}}\n    volume: 1.6 L\n    pressure: 34 bar"
    (told,) = [one for one in found((CYLINDERS, old, old.replace("34", "1.7"))) if one.rule == "cylinder-empty"]
    assert "at 1.7\u00a0bar" in told.message
    assert told.touches == ("unit:d-1",)


def test_where_sparks_are_used_it_is_said_and_where_no_rule_has_a_number(found):
    hot = "  - id: pit\n    name: Pit\n    activities: [hot-work]"
    low = (
        (SETPOINTS, "low: {set: 5 %LEL", "low: {set: 11 %LEL"),
        (SETPOINTS, "high: {set: 9 %LEL", "high: {set: 20 %LEL"),
    )
    findings = found((AREAS, hot.replace("hot-work", "confined-space-entry"), hot), *low)
    late = [one.message for one in findings if one.rule == "flammable-alarm-late"]
    assert [("where flames and sparks are used" in one) for one in late] == [True, True]
    unruled = [one.message for one in findings if one.rule == "alarm-without-rule"]
    assert [one.partition(" (")[0] for one in unruled] == [
        "Nothing checks the alarms of flammable gas", "Nothing checks the alarms of oxygen"
    ]  # fmt: skip


def test_a_gas_that_another_sensor_sees_too_is_not_told_where_that_has_no_alarm(found):
    cell = "    shows: hydrogen-sulfide\n"
    crossed = "    cross-sensitivity:\n      source: invented\n      table: {methane: 1 %}\n"
    bare = "  - areas: [pit]\n    channel: hydrogen-sulfide\n    reason: invented\n    " + SULFIDE_LOW + "\n"
    findings = found((SENSORS, cell, cell + crossed), (SETPOINTS, bare, ""))
    assert [one for one in findings if one.rule == "cross-adds"] == []
