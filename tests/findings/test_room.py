"""Room between an alarm and its limit for what the display may lie off; sums by hand, no published source."""

from __future__ import annotations

from functools import partial

import pytest

SENSORS, SETPOINTS, AREAS = "sensors.yaml", "setpoints.yaml", "areas.yaml"
LIFE = {
    "bead": "    minimum-oxygen: 10 %vol\n    life: 36 months",
    "oxygen": "    shows: oxygen\n    calibrated-with: oxygen\n    life: 24 months",
    "sulfide": "    shows: hydrogen-sulfide\n    calibrated-with: hydrogen-sulfide\n    life: 24 months",
    "lamp": "    lamp: 10.6 eV\n    life: 24 months",
}


@pytest.fixture(name="near")
def _near(found):
    def told(*changes):
        return found(*changes, rules={"alarm-at-limit"})

    return told


def error(sensor: str, text: str) -> tuple[str, str, str]:
    return SENSORS, LIFE[sensor], f"{LIFE[sensor]}\n    error: {{{text}}}"


@pytest.mark.parametrize(
    ("sensor", "text", "last"),
    [
        ("bead", "absolute: 1 %LEL", None),  # 10 - 1 = 9, where the high alarm stands
        ("bead", "absolute: 2 %LEL", "8\u00a0%LEL"),
        ("bead", "absolute: 1 %LEL, relative: 20 %", "8\u00a0%LEL"),  # a fifth of 10 is more than 1
        ("oxygen", "absolute: 0.5 %vol", None),  # 19.5 + 0.5 = 20, where the low alarm stands; 23.5 - 0.5 = 23
        ("sulfide", "absolute: 5 ppm", None),  # NIOSH ceiling of 10 ppm - 5
        ("sulfide", "relative: 60 %", "4\u00a0ppm"),
        ("lamp", "relative: 50 %", None),  # OSHA 200 ppm of toluene show as 400, less 200
    ],
)
def test_the_error_is_taken_off_the_limit(near, sensor, text, last):
    told = near(error(sensor, text))
    assert [(one.severity.value, one.mend) for one in told] == ([("warn", f"set it to {last}")] if last else [])


def test_of_too_little_oxygen_it_is_added(near):
    low, high = near(error("oxygen", "absolute: 0.6 %vol"))
    assert {low.mend, high.mend} == {"set it to 20.1\u00a0%vol", "set it to 22.9\u00a0%vol"}
    assert "0.60\u00a0%vol" in low.message


def test_it_is_taken_off_after_the_response_factor(near):
    # propane, factor 1.9: 10 / 1.9 = 5.26 shown, less 1 is 4.26, so 4
    propane = (AREAS, "{gas: methane, why: invented}", "{gas: propane, why: invented}")
    alarms = (
        (SETPOINTS, "high: {set: 9 %LEL", "high: {set: 5 %LEL"),
        (SETPOINTS, "low: {set: 5 %LEL", "low: {set: 3 %LEL"),
    )
    (told,) = near(error("bead", "absolute: 1 %LEL"), propane, *alarms)
    assert told.mend == "set it to 4\u00a0%LEL"


def test_an_error_as_large_as_the_limit_leaves_no_setting(near):
    (told,) = near(error("sulfide", "absolute: 10 ppm"))
    assert "no setting keeps the limit" in told.message


def test_where_the_error_is_not_known_it_says_so(near, found):
    (told,) = near((SETPOINTS, "low: {set: 5 ppm", "low: {set: 10 ppm"))
    assert "is not known" in told.message
    whole = partial(found, whole=True)
    assert [one.severity.value for one in whole() if one.rule == "error-not-stated"] == ["note"]
    stated = (("bead", "%LEL"), ("oxygen", "%vol"), ("sulfide", "ppm"), ("lamp", "ppm"))
    every = [error(sensor, f"absolute: 0.1 {unit}") for sensor, unit in stated]
    assert [one for one in whole(*every) if one.rule == "error-not-stated"] == []
