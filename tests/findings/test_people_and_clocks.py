"""People in two roles, doubled holders, firmware, alarms that wait or only shine, zeroes, and spaces without depth."""

from __future__ import annotations

import pytest

from tests.each import each

HELD = "unit,from,to,state,holder\n"
PUMPED = "    battery: {runtime: 14 h}\n    log: {capacity: 84 h, download-every: 7 days}\n"
PERSON = "{{id: {id}, name: {name}, role: tester, may: [use], from: 2026-01-01, until: 2027-06-30, assessed-by: {by}}}"
UNIT_2 = "    pool: Rack\n"
UNIT_3 = """
  - id: d-3
    model: vapours
    serial: "3"
    state: in-use
    pool: Rack
    cylinder: c-2
"""
LAST = "    last: {bump: 2026-11-20, calibration: 2026-10-02}\n"


@pytest.fixture(name="weights")
def _weights(found):
    """Severities of one rule's findings after changes of the small sound site."""

    def judge(rule, *changes):
        return [one.severity.value for one in found(*changes, rules={rule})]

    return judge


@each(
    ("by", "expected"),
    [("Safety lead", []), ("P. Example, bench", []), ("kd", ["warn"]), ("k. dorn,  trainer", ["warn"])],
)
def test_nobody_finds_himself_fit(weights, by, expected):
    # 29 CFR 1910.146 (g)(4): the employer certifies that training was done
    register = "people:\n  - " + PERSON.format(id="kd", name="K. Dorn", by=f'"{by}"') + "\n"
    assert weights("judged-by-oneself", ("people.yaml", "", register)) == expected


@each(
    ("reviewed", "approved", "expected"),
    [
        ("B. Reader", "C. Head", []),
        ("A. Writer, operations", "C. Head", ["warn"]),
        ("B. Reader", "a. writer", ["warn"]),
        ("B. Reader", "B. Reader", ["warn"]),
        ("A. Writer", "A. Writer", ["warn"]),  # one person in three roles is told once
    ],
)
def test_a_revision_is_looked_at_by_others(weights, reviewed, approved, expected):
    # common practice, no source
    revision = (
        "number: 1\neffective: 2026-11-01\nreason: invented\nprepared: A. Writer, bench\n"
        f"reviewed: {reviewed}\napproved: {approved}\n"
    )
    assert weights("judged-by-oneself", ("revisions/1.yaml", "", revision)) == expected


@each(
    ("first", "second", "expected"),
    [("kd", "K. Dorn", ["warn"]), ("kd", "ls", []), ("Crew 2", "Crew 2", []), ("kd", "Crew 2", [])],
)
def test_a_person_holds_one_unit_of_a_kind(weights, first, second, expected):
    # common practice, no source; a crew is no person of the register
    people = "".join(
        f"  - {PERSON.format(id=one, name=name, by='lead')}\n" for one, name in (("kd", "K. Dorn"), ("ls", "L. Sand"))
    )
    units = LAST + UNIT_3 + f"    holder: {second}\n" + LAST
    changes = ("people.yaml", "", "people:\n" + people), ("inventory.yaml", UNIT_2, f"{UNIT_2}    holder: {first}\n")
    assert weights("holder-of-two", *changes, ("inventory.yaml", LAST, units)) == expected


@each(
    ("rows", "expected"),
    [
        ("d-2,2026-11-20,,firmware,2.4\nd-3,2026-11-20,,firmware,2.4\n", []),
        ("d-2,2026-11-20,,firmware,2.4\nd-3,2026-11-20,,firmware,2.5\n", ["warn"]),
        ("d-1,2026-11-20,,firmware,2.4\nd-2,2026-11-20,,firmware,2.5\n", []),  # of two models
        (
            "d-2,2026-11-10,,firmware,2.4\nd-2,2026-11-20,,firmware,2.5\nd-3,2026-11-20,,firmware,2.5\n",
            [],
        ),  # brought to one
    ],
)
def test_units_of_one_model_run_one_firmware(weights, rows, expected):
    # common practice, no source
    three = ("inventory.yaml", LAST, LAST + UNIT_3 + LAST)
    read = ("readback/set.csv", "", "unit,read-on,sensor,name,value\n" + rows)
    assert weights("firmware-differs", three, read) == expected


BUMP = ("checks.yaml", "    gas-time: 60 s\n", "    gas-time: 60 s\n    alarms-within: {within}\n")


@pytest.mark.parametrize(("within", "expected"), [("59 s", []), ("60 s", ["warn"]), ("75 s", ["warn"])])
def test_alarms_are_to_come_while_the_gas_flows(weights, within, expected):
    # the definition of a bump test: gas sets the alarms off
    name, old, new = BUMP
    assert weights("alarm-outlasts-gas", (name, old, new.format(within=within))) == expected


@pytest.mark.parametrize(("delay", "expected"), [("0 s", []), ("59 s", []), ("60 s", ["stop"]), ("1 min", ["stop"])])
@pytest.mark.parametrize("wanted", [True, False])
def test_no_alarm_is_held_back_for_as_long_as_the_gas_flows(weights, delay, expected, wanted):
    # the same, of an alarm that waits as the site wants it set, or as its description says
    alarms = f"    alarms: {{latching: invented, ways: [sound], delay: {delay}}}\n"
    model = ("models.yaml", PUMPED, PUMPED + alarms)
    site = ("setpoints.yaml", "setpoints:", f"settings:\n  - {{models: [pumped], alarm-delay: {delay}}}\nsetpoints:")
    assert weights("alarm-outlasts-gas", site if wanted else model) == expected


ZERO = """
  - id: zero
    name: Zero
    kind: zero
    interval: each day of use
    reason: invented
    source: invented
    gas-time: TIME
    clean-air:
      oxygen: {shows: 20.9 %vol, within: 0.2 %vol, refused-beyond: 0.8 %vol}
      flammable: {shows: 0 %LEL, within: 1 %LEL, refused-beyond: 2 %LEL}
      vapour: {shows: 0 ppm, within: 1 ppm, refused-beyond: 2 ppm}
"""
SULFIDE = "      hydrogen-sulfide: {shows: 0 ppm, within: 1 ppm, refused-beyond: 2 ppm}\n"


@pytest.mark.parametrize(("time", "expected"), [("30 s", []), ("29 s", ["stop"]), ("5 s", ["stop"])])
def test_a_zero_waits_for_the_slowest_sensor(weights, time, expected):
    # 29 CFR 1910.146 App. B(3); the slowest sensor of the site needs 30 s for nine tenths
    change = ("checks.yaml", "checks:\n", "checks:" + ZERO.replace("TIME", time) + SULFIDE)
    assert weights("gas-time-short", change) == expected


@pytest.mark.parametrize(("more", "expected"), [(SULFIDE, []), ("", ["warn"])])
def test_a_zero_has_bounds_for_each_sensor_in_use(weights, more, expected):
    # common practice, no source
    change = ("checks.yaml", "checks:\n", "checks:" + ZERO.replace("TIME", "60 s") + more)
    assert weights("zero-without-bounds", change) == expected


def test_of_sensors_of_no_unit_in_use_a_zero_says_nothing(weights):
    change = ("checks.yaml", "checks:\n", "checks:" + ZERO.replace("TIME", "60 s"))
    spare = ("inventory.yaml", 'serial: "1"\n    state: in-use', 'serial: "1"\n    state: spare')
    assert weights("zero-without-bounds", change, spare) == []


@each(
    ("more", "expected"),
    [("    depth: 4 m\n    hose: 6 m\n", []), ("    depth: 4 m\n", []), ("    hose: 6 m\n", ["warn"]), ("", ["warn"])],
)
def test_a_space_that_is_tested_before_entry_has_a_depth(weights, more, expected):
    # 29 CFR 1910.146 Appendix B (4): over the whole depth; the shop is no space here
    pit = "    temperature: 15 °C\n"
    shop = (
        "areas.yaml",
        "    activities: [confined-space-entry]\n    carry: [vapours]",
        "    activities: [inspection]\n    carry: [vapours]",
    )
    assert weights("depth-not-stated", shop, ("areas.yaml", pit, pit + more)) == expected


@each(
    ("ways", "noise", "expected"),
    [
        ("[light]", "", ["stop"]),
        ("[light, sound]", "", []),
        ("[light, vibration]", "", []),
        ("[light, sound]", "    noise: 80 dB(A)\n", ["warn"]),  # how loud it is, nobody says
        ("[light, sound, vibration]", "    noise: 80 dB(A)\n", []),
    ],
)
def test_an_alarm_is_heard_or_felt(weights, ways, noise, expected):
    # the definition of a bump test names light, sound and vibration; common practice
    pit = "    temperature: 15 °C\n"
    alarms = f"    alarms: {{latching: invented, ways: {ways}}}\n"
    assert (
        weights("alarm-only-seen", ("models.yaml", PUMPED, PUMPED + alarms), ("areas.yaml", pit, pit + noise))
        == expected
    )


def test_a_model_of_no_unit_in_use_is_not_asked(weights):
    alarms = "    alarms: {latching: invented, ways: [light]}\n"
    spare = ("inventory.yaml", 'serial: "1"\n    state: in-use', 'serial: "1"\n    state: spare')
    assert weights("alarm-only-seen", ("models.yaml", PUMPED, PUMPED + alarms), spare) == []


@pytest.mark.parametrize(
    ("until", "told"),
    [("2026-11-08T07:00Z", ""), ("2026-11-08T07:01Z", "in use with Crew 1 and in use with Crew 2 at once")],
)
def test_a_unit_has_one_holder_at_a_time(found, until, told):
    # common practice, no source
    rows = f"d-2,2026-11-01T07:00Z,{until},in-use,Crew 1\nd-2,2026-11-08T07:00Z,,in-use,Crew 2\n"
    moved = ("inventory.yaml", 'serial: "2"\n    state: in-use', 'serial: "2"'), ("movements/rows.csv", "", HELD + rows)
    said = [one.message for one in found(*moved, whole=True) if one.rule == "movements-do-not-meet"]
    assert [told in one for one in said] == ([True] if told else [])
