"""Where no law names a number the usual bounds hold, unless somebody answers for it by name and until a day."""

from __future__ import annotations

from datetime import date
from functools import partial

import pytest

from tests.each import each

AREAS, CHECKS, SENSORS, SETPOINTS, SITE = "areas.yaml", "checks.yaml", "sensors.yaml", "setpoints.yaml", "site.yaml"
NO_RULE = (
    AREAS,
    "  - id: pit\n    name: Pit\n    activities: [confined-space-entry]",
    "  - id: pit\n    name: Pit\n    activities: [hot-work]",
)
"""General industry has no number for hot work, so no law is passed."""
LOW = "low: {set: 5 %LEL"
HIGH = "high: {set: 9 %LEL"
OXYGEN_LOW, OXYGEN_HIGH = "low: {set: 20 %vol", "high: {set: 23 %vol"
SULFIDE = "low: {set: 5 ppm, protects: niosh.ceiling, action: Leave.}"
BUMP, CALIBRATION = "    interval: each day of use", "    interval: 6 months"
FLAMMABLE, OXYGEN = "      flammable: {relative: 10 %}", "      oxygen: {absolute: 0.5 %vol}"
ACCEPTED = "accepted.yaml"


@pytest.fixture(name="found")
def _found(found):
    return partial(found, whole=True)


def of(rule, findings):
    return [one for one in findings if one.rule == rule]


def weights(rule, findings):
    return [one.severity.value for one in of(rule, findings)]


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [("10 %LEL", "11 %LEL", ["warn"]), ("11 %LEL", "20 %LEL", ["stop", "warn"]), ("5 %LEL", "10 %LEL", [])],
)
def test_flammable_alarms_above_a_tenth_of_the_limit(found, low, high, expected):
    # 29 CFR 1910.146 (b): flammable gas in excess of 10 percent of its lower flammable limit
    changes = (NO_RULE, (SETPOINTS, LOW, f"low: {{set: {low}"), (SETPOINTS, HIGH, f"high: {{set: {high}"))
    assert weights("flammable-alarm-late", found(*changes, rules={"flammable-alarm-late"})) == expected


@each(
    ("error", "expected"),
    [("{absolute: 3 %LEL}", []), ("{absolute: 3.1 %LEL}", ["warn"]), ("{relative: 45 %}", ["warn"]), (None, [])],
)
def test_the_first_flammable_alarm_leaves_room_for_the_error_where_no_rule_does(found, error, expected):
    # 29 CFR 1910.146 (b), 10 percent; by hand: 7 %LEL and 3 %LEL are just 10, 7 %LEL and 45 % of it are 10.15
    changes = [NO_RULE, (SETPOINTS, LOW, "low: {set: 7 %LEL")]
    if error:
        changes.append((SENSORS, "    minimum-oxygen: 10 %vol\n", f"    minimum-oxygen: 10 %vol\n    error: {error}\n"))
    assert weights("flammable-alarm-late", found(*changes, rules={"flammable-alarm-late"})) == expected


def test_the_law_speaks_first(found):
    findings = found((SETPOINTS, LOW, "low: {set: 11 %LEL"), (SETPOINTS, HIGH, "high: {set: 12 %LEL"))
    assert weights("alarm-above-limit", findings)
    assert not of("flammable-alarm-late", findings)


@each(
    ("change", "expected"),
    [
        ((OXYGEN_LOW, "low: {set: 19.5 %vol"), 0),
        ((OXYGEN_LOW, "low: {set: 19.4 %vol"), 1),
        ((OXYGEN_HIGH, "high: {set: 23.5 %vol"), 0),
        ((OXYGEN_HIGH, "high: {set: 23.6 %vol"), 1),
        ((OXYGEN_HIGH, "high: {set: 29.0 %vol"), 1),
    ],
)
def test_oxygen_alarms_outside_nineteen_and_a_half_to_twenty_three_and_a_half(found, change, expected):
    # 29 CFR 1910.146 (b): below 19.5 percent or above 23.5 percent
    shop = (
        AREAS,
        "  - id: shop\n    name: Shop\n    activities: [confined-space-entry]",
        "  - id: shop\n    name: Shop\n    activities: [inspection]",
    )
    assert (
        weights("oxygen-alarm-outside", found(NO_RULE, shop, (SETPOINTS, *change), rules={"oxygen-alarm-outside"}))
        == ["stop"] * expected
    )


def test_no_alarm_protects_what_endangers_life_at_once(found):
    # NIOSH Pocket Guide: hydrogen sulfide 100 ppm is immediately dangerous to life or health
    text = "low: {set: 90 ppm, protects: niosh.idlh, action: Leave.}"
    told = found((SETPOINTS, SULFIDE, text))
    assert weights("danger-to-life-as-target", told) == ["stop"]
    assert "stop" in weights("limit-not-kept", told)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("low: {set: 10 ppm, protects: osha.ceiling, action: Leave.}", False),
        ("low: {set: 11 ppm, protects: osha.ceiling, action: Leave.}", True),
    ],
)
def test_every_list_that_the_site_chose_counts_not_only_the_one_that_is_named(found, text, expected):
    # 29 CFR 1910.1000 Table Z-2: ceiling 20 ppm; NIOSH Pocket Guide: ceiling 10 ppm
    assert (
        "stop" in weights("limit-not-kept", found((SETPOINTS, SULFIDE, text), rules={"limit-not-kept"}))
    ) is expected


def test_an_average_is_held_against_the_limit_lowered_for_long_turns(found):
    # Brief and Scala: 12 h halve an 8-hour limit, (8/12) x (24-12)/16 = 0.5; EU limit of hydrogen sulfide 5 ppm
    longer = (SITE, "shift: 12 h", "shift: 12 h\nlong-shift: brief-scala")
    for value, expected in (("2 ppm", []), ("3 ppm", ["warn"])):
        text = f"{SULFIDE}\n    twa: {{set: {value}, protects: eu.twa, action: Leave.}}"
        assert (
            weights(
                "average-over-long-shift", found(longer, (SETPOINTS, SULFIDE, text), rules={"average-over-long-shift"})
            )
            == expected
        )


@pytest.mark.parametrize(("high", "expected"), [("5 %LEL", ["stop"]), ("6 %LEL", ["warn"]), ("7 %LEL", [])])
def test_two_alarms_that_nobody_can_tell_apart(found, high, expected):
    # common practice, no source; the display steps by 1 %LEL
    assert (
        weights("alarms-too-close", found((SETPOINTS, HIGH, f"high: {{set: {high}"), rules={"alarms-too-close"}))
        == expected
    )


@each(
    ("change", "expected"),
    [
        ((BUMP, "    interval: 1 month"), 0),
        ((BUMP, "    interval: 5 weeks"), 1),
        ((CALIBRATION, "    interval: 1 year"), 0),
        ((CALIBRATION, "    interval: 5 years"), 1),
        ((BUMP, "    interval: 31 days"), 0),
        ((BUMP, "    interval: 32 days"), 1),
        ((CALIBRATION, "    interval: 366 days"), 0),
        ((CALIBRATION, "    interval: 367 days"), 1),
        (("    interval: 1 month", "    interval: 31 days"), 0),
        (("    interval: 1 month", "    interval: 32 days"), 1),
    ],
)
def test_checks_with_gas_that_come_too_seldom(found, change, expected):
    # common practice, no source
    assert weights("interval-too-long", found((CHECKS, *change), rules={"interval-too-long"})) == ["stop"] * expected


def test_of_two_places_the_longer_interval_is_told(found):
    place = "      - {{every: {}, by: area, areas: [{}], reason: r, source: s}}\n"
    places = "    intervals:\n" + place.format("2 months", "pit") + place.format("3 months", "shop")
    base = BUMP + "\n    reason: invented\n    source: invented\n"
    shop = ("inventory.yaml", "pool: Rack", "area: shop")
    (told,) = of(
        "interval-too-long",
        found((CHECKS, base + "    gas-time: 60 s", places + "    gas-time: 60 s"), shop, rules={"interval-too-long"}),
    )
    assert "is asked for only every 3 months" in told.message


@each(
    ("change", "expected"),
    [
        ((FLAMMABLE, "      flammable: {relative: 20 %}"), []),
        ((FLAMMABLE, "      flammable: {relative: 80 %}"), ["Bump test", "Calibration"]),
        ((FLAMMABLE, "      flammable: {relative: 30 %}"), ["Calibration"]),
        ((FLAMMABLE, "      flammable: {relative: 50 %}"), ["Calibration"]),
        ((OXYGEN, "      oxygen: {absolute: 1.5 %vol}"), []),
        ((OXYGEN, "      oxygen: {absolute: 1.6 %vol}"), ["Bump test", "Calibration"]),
    ],
)
def test_windows_that_pass_nearly_everything(found, change, expected):
    # common practice, no source
    told = of("window-too-wide", found((CHECKS, *change), rules={"window-too-wide"}))
    assert [one.message.partition(" of ")[0] for one in told] == expected
    assert all(one.severity.value == "stop" for one in told)


@each(("within", "expected"), [("60 s", []), ("61 s", ["warn"]), ("90 s", ["warn"]), ("91 s", ["stop"])])
def test_alarms_that_may_take_longer_than_any_sensor_should(found, within, expected):
    # BG RCI FAQ 2.9: 45 s, 60 s and 90 s
    text = "    gas-time: 60 s\n    alarms-within: " + within
    assert (
        weights("alarm-time-too-long", found((CHECKS, "    gas-time: 60 s", text), rules={"alarm-time-too-long"}))
        == expected
    )


def test_a_bump_test_that_says_no_time_for_its_alarms(found):
    # BG RCI FAQ 2.9 asks for a time; without one an alarm that takes minutes passes
    (finding,) = of("alarm-time-too-long", found(rules={"alarm-time-too-long"}))
    assert finding.severity.value == "warn"
    assert "does not say within what time" in finding.message


ENTRY = """accepted:
  - rule: {rule}
    about: {about}
    reason: invented
    by: A. Person
    on: 2026-11-02
    review: {review}
"""
YEARS = (CHECKS, CALIBRATION, "    interval: 5 years")


def accepted(rule="interval-too-long", about="page:checks", review="2027-05-01"):
    return (ACCEPTED, "", ENTRY.format(rule=rule, about=about, review=review))


def test_a_guard_rail_can_be_answered_for_by_name_and_until_a_day(found):
    (told,) = of("interval-too-long", found(YEARS, accepted(), rules={"interval-too-long"}))
    assert told.severity.value == "warn"
    assert told.message.endswith(
        "A. Person answers for it since 2\u00a0Nov\u00a02026: invented. To be looked at again by 1\u00a0May\u00a02027."
    )


def test_after_the_day_of_review_it_stops_again(found):
    until = accepted(review="2026-11-24")
    assert weights("interval-too-long", found(YEARS, until, as_of=date(2026, 11, 24), rules={"interval-too-long"})) == [
        "warn"
    ]
    (told,) = of("interval-too-long", found(YEARS, until, as_of=date(2026, 11, 25), rules={"interval-too-long"}))
    assert told.severity.value == "stop"
    assert "that day is past" in told.message


def test_the_law_cannot_be_answered_for(found):
    late = (SETPOINTS, HIGH, "high: {set: 30 %LEL"), (SETPOINTS, LOW, "low: {set: 20 %LEL")
    findings = found(*late, accepted("alarm-above-limit", "area:pit"))
    assert "stop" in weights("alarm-above-limit", findings)
    (vain,) = of("accepted-in-vain", findings)
    assert "nobody can answer for alarm-above-limit" in vain.message


def test_an_acceptance_of_nothing_is_told(found):
    (vain,) = of("accepted-in-vain", found(accepted()))
    assert "interval-too-long was not found of page:checks" in vain.message
    assert vain.where.file == ACCEPTED


RETENTION = "retention.yaml"
KEPT = "retention:\n  - {{id: {id}, what: Data, keep: {keep}, rule: {rule}}}\n"


@each(
    ("entry", "keep", "rule", "expected"),
    [
        # 29 CFR 1910.1020(d)(1)(ii): thirty years; 29 CFR 1910.146(e)(6): at least one year
        ("exposure", "30 years", "ours", []),
        ("exposure", "29 years", "ours", ["stop"]),
        ("logs", "5 years", "29 CFR 1910.1020(d)(1)(ii)", ["stop"]),
        ("permits", "11 months", "29 CFR 1910.146(e)(6) and ours", ["stop"]),
        ("permits", "12 months", "29 CFR 1910.146(e)(6) and ours", []),
        ("bumps", "1 months", "ours", []),
    ],
)
def test_records_are_kept_as_long_as_the_rule_they_name(found, entry, keep, rule, expected):
    change = (RETENTION, "", KEPT.format(id=entry, keep=keep, rule=rule))
    assert weights("kept-too-short", found(change, rules={"kept-too-short"})) == expected


def test_what_is_kept_until_something_happens_has_no_number_to_compare(found):
    change = (RETENTION, "", "retention:\n  - {id: exposure, what: Data, until: the works close, rule: ours}\n")
    assert weights("kept-too-short", found(change, rules={"kept-too-short"})) == []
