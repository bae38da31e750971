"""What a manual says of a model is held against the site: noise, averages, relay, cells, air pressure, poisons."""

from __future__ import annotations

from functools import partial

import pytest

from tests.each import each

MODELS, AREAS, SENSORS, SETPOINTS = "models.yaml", "areas.yaml", "sensors.yaml", "setpoints.yaml"
PUMPED = "    battery: {runtime: 14 h}\n    log: {capacity: 84 h, download-every: 7 days}\n"
PIT = "    temperature: 15 °C\n"


@pytest.fixture(name="found")
def _found(found):
    return partial(found, whole=True)


def weights(rule, findings):
    return [one.severity.value for one in findings if one.rule == rule]


@pytest.mark.parametrize(
    ("loudness", "ways", "expected"),
    [
        ("95 dB(A)", "[light, sound]", []),
        ("94 dB(A)", "[light, sound]", ["warn"]),
        ("94 dB(A)", "[light, sound, vibration]", ["note"]),
    ],
)
def test_an_alarm_stands_fifteen_decibels_out_of_the_noise(found, loudness, ways, expected):
    # ISO 7731, A-weighted levels alone: 15 dB; from memory
    alarms = f"    alarms: {{latching: invented, ways: {ways}, loudness: {loudness}}}\n"
    changes = (MODELS, PUMPED, PUMPED + alarms), (AREAS, PIT, PIT + "    noise: 80 dB(A)\n")
    assert weights("alarm-in-noise", found(*changes, rules={"alarm-in-noise"})) == expected


@pytest.mark.parametrize(
    ("relay", "expected"),
    [
        ("", ["warn"]),
        ("    relay: {to: nobody}\n", ["warn"]),
        ("    relay: {to: Gate, within: 10 s, answered-within: 30 s}\n", []),
    ],
)
def test_somebody_else_hears_the_alarm_of_a_lone_worker(found, relay, expected):
    # common practice, no source
    lone = "    lone-worker: {motionless: 45 s, warning: 15 s}\n"
    assert (
        weights("alarm-not-relayed", found((MODELS, PUMPED, PUMPED + lone + relay), rules={"alarm-not-relayed"}))
        == expected
    )


@pytest.mark.parametrize(("answered", "expected"), [("110 s", []), ("111 s", ["warn"])])
def test_relay_and_answer_count_in_the_time_until_help_is_called(found, answered, expected):
    # by hand: 45 s + 15 s + 10 s + 110 s are 3 min
    lone = "    lone-worker: {motionless: 45 s, warning: 15 s}\n"
    relay = f"    relay: {{to: Gate, within: 10 s, answered-within: {answered}}}\n"
    changes = (MODELS, PUMPED, PUMPED + lone + relay), (AREAS, PIT, PIT + "    rescue-within: 3 min\n")
    assert weights("lone-worker-too-long", found(*changes, rules={"lone-worker-too-long"})) == expected


@pytest.mark.parametrize(
    ("base", "expected"), [("twa-over: 8 h, stel-over: 15 min", 0), ("twa-over: 10 h, stel-over: 10 min", 2)]
)
def test_averages_go_over_the_time_of_the_limit_they_protect(found, base, expected):
    # 29 CFR 1910.1000 (d)(1)(i): the dose over eight hours; (a)(1): 15 minutes
    alarms = "low: {set: 5 ppm, protects: niosh.ceiling, action: Leave.}"
    averaged = "\n    twa: {set: 4 ppm, protects: eu.twa, action: Leave.}"
    averaged += "\n    stel: {set: 5 ppm, protects: eu.stel, action: Leave.}"
    averages = f"    averages: {{{base}, start-again: invented}}\n"
    changes = (MODELS, PUMPED, PUMPED + averages), (SETPOINTS, alarms, alarms + averaged)
    assert len(weights("average-base-differs", found(*changes, rules={"average-base-differs"}))) == expected
    both = ("areas.yaml", "    carry: [pumped]", "    carry: [[pumped, vapours]]")  # another beside it changes nothing
    assert len(weights("average-base-differs", found(*changes, both, rules={"average-base-differs"}))) == expected
    assert (
        weights("average-base-differs", found(changes[0], rules={"average-base-differs"})) == []
    )  # no averaged alarm is set there


def test_cells_taken_instead_last_the_longest_turn(found):
    # by hand: 11 h are less than the 12 h of the site
    battery = "battery: {runtime: 14 h, cells: rechargeable, type: a, change-at: b, instead: "
    battery += "{cells: primary, type: c, change-at: d, runtime: 11 h}}"
    assert weights(
        "runtime-short",
        found((MODELS, PUMPED, PUMPED.replace("battery: {runtime: 14 h}", battery)), rules={"runtime-short"}),
    ) == ["warn"]


@pytest.mark.parametrize(("altitude", "expected"), [("1900 m", []), ("2000 m", ["warn"])])
def test_a_sensor_at_a_height_that_it_is_not_made_for(found, altitude, expected):
    # ISO 2533: 80.48 kPa at 1900 m, 79.50 kPa at 2000 m; from memory
    life = "    channel: hydrogen-sulfide\n    shows: hydrogen-sulfide\n    calibrated-with: hydrogen-sulfide\n"
    ranged = life + "    pressures: {from: 80 kPa, to: 110 kPa}\n"
    changes = (SENSORS, life, ranged), ("site.yaml", "  altitude: 100 m", f"  altitude: {altitude}")
    assert weights("pressure-outside", found(*changes, rules={"pressure-outside"})) == expected


@each(("pressure", "expected"), [("79.9", ["warn"]), ("80", []), ("110", []), ("110.1", ["warn"])])
def test_a_sensor_just_at_the_air_pressure_that_it_is_made_for(found, pressure, expected):
    life = "    minimum-oxygen: 10 %vol\n    life: 36 months\n"
    ranged = life + "    pressures: {from: 80 kPa, to: 110 kPa}\n"
    changes = (SENSORS, life, ranged), ("site.yaml", "  altitude: 100 m", f"  pressure: {pressure} kPa")
    assert weights("pressure-outside", found(*changes, rules={"pressure-outside"})) == expected


def test_what_deadens_a_sensor_is_told_where_it_is_in_use(found):
    # OSHA bulletins on direct-reading monitors name silicone among the causes for a check with gas; from memory
    bead = "    minimum-oxygen: 10 %vol\n"
    changes = (SENSORS, bead, bead + "    poisoned-by: [silicone]\n"), (AREAS, PIT, PIT + "    poisons: [silicone]\n")
    assert weights("poison-in-area", found(*changes, rules={"poison-in-area"})) == ["note"]
