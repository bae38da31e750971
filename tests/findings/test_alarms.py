"""Alarms beside their limits, at the very edges."""

from __future__ import annotations

from datetime import date

import pytest

from tests.each import each

SET = "setpoints.yaml"
OF_PLACES = ("place-list-missing", "limit-of-another-place")
"""Rules about lists of limits, which this site chose for another place; they have tests of their own."""


def flammable(low: str, high: str = "{set: 100 %LEL, action: Leave.}") -> tuple[str, str, str]:
    old = "low: {set: 5 %LEL, action: Leave.}\n    high: {set: 9 %LEL, action: Leave at once.}"
    return SET, old, f"low: {low}" + (f"\n    high: {high}" if high else "")


def low(value: str) -> tuple[str, str, str]:
    return flammable(f"{{{value}, action: Leave.}}", high="")


def fires_above() -> tuple[str, str, str]:
    text = "alarm-fires: at-or-above\n    pump:"
    return "models.yaml", text, text.replace("at-or-above", "above")


def activity(name: str) -> tuple[str, str, str]:
    old = "name: Pit\n    activities: [confined-space-entry]"
    return "areas.yaml", old, old.replace("confined-space-entry", name)


def propane(factor: str) -> tuple[tuple[str, str, str], ...]:
    hazard = "      - {gas: methane, why: invented}\n"
    return (
        ("areas.yaml", hazard, hazard + hazard.replace("methane", "propane")),
        ("sensors.yaml", "propane: 1.9", f"propane: {factor}"),
    )


def oxygen(name: str, value: str) -> tuple[str, str, str]:
    return SET, {"low": "low: {set: 20 %vol", "high": "high: {set: 23 %vol"}[name], f"{name}: {{set: {value} %vol"


STOP, WARN, AT, OFF = "stop alarm-above-limit", "warn alarm-above-limit", "warn alarm-at-limit", "note alarm-off-step"
SEWER = activity("confined-space-entry, sewer-entry")  # a rule of 10 %LEL and over; the other one says over 10 %LEL


@each(
    ("changes", "expected"),
    [
        ((low("set: 10 %LEL"),), [AT]),
        ((low("set: 11 %LEL"),), [STOP]),
        ((low("set: 10 %LEL"), fires_above()), [AT]),
        ((low("set: 10 %LEL"), SEWER), [AT]),
        ((low("set: 9 %LEL"), SEWER, fires_above()), []),
        ((low("set: 10 %LEL"), SEWER, fires_above()), [STOP]),
        ((low("set: 11 %LEL"), SEWER), [STOP]),
        # what is really set counts, not what is written
        ((low("set: 10.9 %LEL"),), [OFF, AT]),
        # with the factor applied back
        ((low("set: 5 %LEL"), *propane("2")), [AT]),
        ((low("set: 5 %LEL"), *propane("2.01")), [STOP]),
        ((low("set: 5 %LEL"), *propane("1.99")), []),
        ((low("true: 10 %LEL"), *propane("1.9")), []),
        ((low("true: 11 %LEL"), *propane("1")), [STOP]),
        # a later alarm only warns, but the only alarm is the first to sound
        ((flammable("{set: 5 %LEL, action: Leave.}"),), [WARN]),
        ((flammable("{set: 5 %LEL, action: Leave.}", high="{set: 10 %LEL, action: Leave.}"),), [AT]),
        ((oxygen("low", "19.5"),), [AT]),
        ((oxygen("low", "19.4"),), [STOP]),
        ((oxygen("low", "19.41"),), [OFF, AT]),
        ((oxygen("high", "23.5"),), [AT]),
        ((oxygen("high", "23.6"),), [STOP]),
    ],
)
def test_against_rules(told, changes, expected):
    assert told(*without_bumps(), *changes) == expected


def without_bumps() -> tuple[tuple[str, str, str], ...]:
    """Take gas out of the picture: the alarm is judged alone."""
    return (
        ("checks.yaml", "    kind: bump-test", "    kind: calibration-check"),
        ("checks.yaml", "    name: Bump test", "    name: Check"),
    )


def test_the_only_flammable_alarm_is_the_first_to_sound(told):
    old = "    low: {set: 5 %LEL, action: Leave.}\n    high: {set: 9 %LEL, action: Leave at once.}"
    assert told(*without_bumps(), (SET, old, "    high: {set: 11 %LEL, action: Leave.}")) == [STOP]


@each(
    ("place", "changes", "expected"),
    [
        # over 20 %LEL, and nobody read it
        ("us-excavation", (low("set: 20 %LEL"),), {AT, "note value-not-read"}),
        ("us-excavation", (low("set: 21 %LEL"),), {WARN, "note value-not-read"}),
        # 5 %LEL and over was not read, over 5 %LEL was: the looser one decides
        ("australia-nsw", (low("set: 5 %LEL"), fires_above()), {WARN, "note value-not-read"}),
        ("australia-nsw", (low("set: 6 %LEL"), fires_above()), {STOP, "note value-not-read"}),
    ],
)
def test_a_rule_that_was_not_read_never_stops(told, place, changes, expected):
    found = set(told(*without_bumps(), ("site.yaml", "us-general-industry", place), *changes))
    assert {one for one in found if not one.endswith(OF_PLACES)} - {"note alarm-without-rule"} == expected


def test_a_value_that_was_not_read_says_in_how_many_areas_it_counts(found):
    """Flammable gas is a hazard of the pit alone, too little oxygen of both areas, by the site's own content."""
    changes = (*without_bumps(), ("site.yaml", "us-general-industry", "us-excavation"), low("set: 20 %LEL"))
    said = {one.message.split()[1]: one.message for one in found(*changes) if one.rule == "value-not-read"}
    assert "the same holds" not in said["flammable"]
    assert "the same holds in 1 more area" in said["oxygen"].replace("\u00a0", " ")


def sulfide(text: str) -> tuple[str, str, str]:
    return SET, "low: {set: 5 ppm, protects: niosh.ceiling,", f"low: {{{text},"


def vapour(text: str) -> tuple[str, str, str]:
    return SET, "low: {set: 50 ppm, protects: osha.twa, protects-gas: toluene,", f"low: {{{text},"


MISSING, UNREAD, KEPT = "stop limit-missing", "note value-not-read", "warn limit-not-kept"
NOT_THERE = "warn protects-no-hazard"
CEILING = "stop limit-not-kept"


@each(
    ("change", "expected"),
    [
        # the list eu has 5 ppm as an average (2009/161/EU), which the site chose as well
        (sulfide("set: 10 ppm, protects: niosh.ceiling"), [AT, KEPT]),
        (sulfide("set: 11 ppm, protects: niosh.ceiling"), [STOP, CEILING, KEPT]),
        (sulfide("set: 11 ppm, protects: osha.ceiling"), [CEILING, KEPT]),
        (sulfide("set: 1 ppm, protects: osha.twa"), [MISSING]),
        (sulfide("set: 6 ppm, protects: eu.twa"), [UNREAD, WARN, KEPT]),
        # toluene: 200 ppm, factor 0.5; 50 ppm in the list eu (2006/15/EC)
        (vapour("set: 400 ppm, protects: osha.twa, protects-gas: toluene"), [AT, KEPT]),
        (vapour("set: 401 ppm, protects: osha.twa, protects-gas: toluene"), [STOP, KEPT]),
        # isobutylene has no limit; propane has one, but the sensor no factor
        (vapour("set: 50 ppm, protects: osha.twa"), [MISSING]),
        (vapour("set: 50 ppm, protects: osha.twa, protects-gas: propane"), [MISSING, NOT_THERE]),
    ],
)
def test_against_exposure_limits(told, change, expected):
    assert told(*without_bumps(), change) == expected


SECOND_LAMP = """sensors:
  - id: weak
    name: Weak lamp
    principle: photoionisation
    channel: vapour
    shows: isobutylene
    calibrated-with: isobutylene
    lamp: 10.6 eV
    life: 24 months
    factors:
      convention: multiply-reading
      relative-to: isobutylene
      source: invented
      table: {toluene: 5}
"""


@pytest.mark.parametrize(("value", "expected"), [("40", [AT]), ("41", [STOP])])
@pytest.mark.parametrize("gas", ["toluene", "propane"])
def test_the_worst_of_several_sensors_counts(told, value, expected, gas):
    """Whether the protected gas is a hazard of the area, with a figure of its own, or not."""
    hazard = ("areas.yaml", "      - {gas: toluene, why: invented}\n", "")
    position = "      - {position: 1, sensor: lamp, full-scale: 500 ppm, resolution: 1 ppm, t90: 15 s}\n"
    changes = [
        ("sensors.yaml", "sensors:\n", SECOND_LAMP),
        ("models.yaml", position, position + position.replace("1, sensor: lamp", "3, sensor: weak")),
        vapour(f"set: {value} ppm, protects: osha.twa, protects-gas: toluene"),
    ]
    found = told(*without_bumps(), *changes, *([hazard] if gas == "propane" else []))
    assert [one for one in found if one not in (KEPT, NOT_THERE)] == expected
    assert (NOT_THERE in found) is (gas == "propane")


def test_an_alarm_of_less_than_one_step(told):
    tiny = ("sensors.yaml", "propane: 1.9", "propane: 6")
    hazard = "      - {gas: methane, why: invented}\n"
    here = ("areas.yaml", hazard, hazard + hazard.replace("methane", "propane"))
    nothing = "stop alarm-rounds-to-nothing"
    assert told(*without_bumps(), tiny, here, low("true: 5 %LEL")) == [nothing]
    assert told(*without_bumps(), tiny, here, low("true: 6 %LEL")) == []


INFRARED = """sensors:
  - id: infra
    name: Infra
    principle: infrared
    channel: flammable
    shows: methane
    calibrated-with: methane
    life: 60 months
"""


def test_steps_that_do_not_meet(told):
    """The coarsest step of 3 rounds 5 to 3, which a display in steps of 2 cannot show."""
    position = "      - {position: 1, sensor: bead, full-scale: 100 %LEL, resolution: 1 %LEL, t90: 15 s}\n"
    bead = position.replace("resolution: 1", "resolution: 2")
    infra = position.replace("resolution: 1", "resolution: 3").replace("1, sensor: bead", "4, sensor: infra")
    changes = [("sensors.yaml", "sensors:\n", INFRARED), ("models.yaml", position, bead + infra)]
    assert told(*without_bumps(), *changes, low("true: 5 %LEL")) == [OFF]
    assert told(*without_bumps(), *changes, low("true: 6 %LEL")) == []


def test_a_place_without_numbers_is_told(told):
    found = told(("site.yaml", "us-general-industry", "united-kingdom"), as_of=date(2026, 11, 25))
    assert [one for one in found if not one.endswith(OF_PLACES)] == ["note alarm-without-rule"]
