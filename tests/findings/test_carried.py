"""What is carried together: whether it sees what the area holds, and whether it is there at all."""

from __future__ import annotations

import pytest

AREAS, UNITS, CHECKS, SENSORS, SETPOINTS = (
    "areas.yaml",
    "inventory.yaml",
    "checks.yaml",
    "sensors.yaml",
    "setpoints.yaml",
)
SHOP = "    activities: [confined-space-entry]\n    carry: [vapours]"
BOTH = (AREAS, SHOP, "    activities: [inspection]\n    carry: [[vapours, pumped]]")
"""The shop made sound: no confined space, and both detectors at once."""
PIT = "    carry: [pumped]\n    hazards:\n      - {gas: methane"


def test_a_confined_space_needs_oxygen_and_flammable_gas_measured_by_what_one_person_carries(found):
    # 29 CFR 1910.146 (c)(5)(ii)(C): oxygen content, flammable gases and vapors, potential toxic air contaminants
    told = found(whole=True, rules={"set-misses-channel"})
    assert [(one.severity.value, one.where.line, one.subject) for one in told] == [("stop", 14, "area:shop")]
    assert told[0].message == (
        "Shop: whoever carries only Vapours into this confined space has no measurement of flammable gas."
    )


@pytest.mark.parametrize(
    "carry",
    ["[[vapours, pumped]]", "[{together: [vapours, pumped], activities: [confined-space-entry], roles: [entrant]}]"],
)
def test_two_detectors_carried_together_measure_what_either_measures(found, carry):
    changed = (AREAS, SHOP, f"    activities: [confined-space-entry]\n    carry: {carry}")
    assert "set-misses-channel" not in {one.rule for one in found(changed, whole=True)}


def test_a_set_for_other_work_alone_is_not_asked_for_the_channels_of_entry(found):
    sets = "[[vapours, pumped], {together: [vapours], activities: [inspection]}]"
    text = f"    activities: [confined-space-entry, inspection]\n    carry: {sets}"
    assert "set-misses-channel" not in {one.rule for one in found((AREAS, SHOP, text), whole=True)}


@pytest.mark.parametrize(
    ("activity", "severity"), [("confined-space-entry", "stop"), ("sewer-entry", "stop"), ("inspection", "warn")]
)
def test_alternatives_are_weighed_one_by_one(found, activity, severity):
    text = f"    activities: [{activity}]\n    carry: [[vapours, pumped], pumped]"
    blind = (SENSORS, "    minimum-oxygen: 10 %vol", "    minimum-oxygen: 10 %vol\n    blind-to: [toluene]")
    told = found((AREAS, SHOP, text), blind, whole=True, rules={"set-sees-less"})
    assert [(one.severity.value, one.message) for one in told] == [
        (severity, "Shop: whoever carries only Pumped does not see Toluene.")
    ]


def test_what_must_be_carried_must_be_in_use(found):
    gone = (UNITS, 'serial: "2"\n    state: in-use', 'serial: "2"\n    state: retired')
    told = found(gone, whole=True, rules={"no-unit-for-set"})
    assert [(one.severity.value, one.message) for one in told] == [
        (
            "stop",
            "Shop: Vapours must be carried, but no unit of Vapours is in use, and no other set can be carried there.",
        )
    ]


def test_another_set_that_can_be_carried_makes_it_a_warning(found):
    gone = (UNITS, 'serial: "2"\n    state: in-use', 'serial: "2"\n    state: quarantined')
    both = (AREAS, SHOP, "    activities: [inspection]\n    carry: [vapours, pumped]")
    told = found(gone, both, whole=True, rules={"no-unit-for-set"})
    assert [one.severity.value for one in told] == ["warn"]


@pytest.mark.parametrize(("hose", "expected"), [("11.9 m", ["stop hose-too-short"]), ("12 m", []), ("13 m", [])])
def test_a_hose_reaches_the_bottom(told, hose, expected):
    # 29 CFR 1910.146 Appendix B (4): the whole depth is tested
    assert (
        told((AREAS, "    temperature: 15 °C", f"    temperature: 15 °C\n    depth: 12 m\n    hose: {hose}"))
        == expected
    )


def test_without_a_hose_of_the_area_the_hose_of_the_model_counts(told):
    deep = "    temperature: 15 °C\n    depth: {} m"
    assert told((AREAS, "    temperature: 15 °C", deep.format(11))) == ["stop hose-too-short"]
    assert told((AREAS, "    temperature: 15 °C", deep.format(10))) == []


PLAN = "    interval: {every}\n    reason: invented\n    source: invented\n    gas-time: {time} s"
ONLY = "    intervals:\n      - {{every: {every}, by: area, areas: [pit], reason: r, source: s}}\n"
ONLY += "    gas-time: {time} s"
"""The same, asked in the pit alone."""


def test_a_unit_in_use_without_any_check_with_gas_stops(found):
    asked = ({"every": "each day of use", "time": 60}, {"every": "6 months", "time": 90})
    changes = ((CHECKS, PLAN.format(**one), ONLY.format(**one)) for one in asked)
    told = found(*changes, whole=True, rules={"unit-without-plan"})
    assert [(one.severity.value, one.subject) for one in told] == [("stop", "unit:d-2")]
    assert told[0].message == (
        "No calibration and no bump test is planned for units in use: d-2. Nothing would show that they still see gas."
    )


def test_a_unit_that_is_only_bumped_warns(found):
    one = {"every": "6 months", "time": 90}
    changed = (CHECKS, PLAN.format(**one), ONLY.format(**one))
    told = found(changed, whole=True, rules={"unit-without-plan"})
    assert [one.severity.value for one in told] == ["warn"]


def test_a_solvent_that_shows_only_as_a_share_of_its_explosive_limit_stops_where_minutes_count(found):
    # toluene, explosive limit 1.0 %vol on the site's basis: 5 %LEL shown at factor f are f x 500 ppm; the published
    # short-term value of NIOSH is 150 ppm, its value dangerous to life 500 ppm (NIOSH Pocket Guide)
    text = "    activities: [inspection]\n    carry: [pumped, vapours]"
    alarms = (SETPOINTS, "  - areas: [pit]\n    channel: flammable", "  - areas: [pit, shop]\n    channel: flammable")
    told = found((AREAS, SHOP, text), alarms, whole=True, rules={"toxic-by-lel-only"})
    assert [(one.severity.value, one.subject) for one in told] == [("stop", "area:shop")]
    assert "NIOSH REL STEL of Toluene 150\u00a0ppm" in told[0].message


@pytest.mark.parametrize(("low", "expected"), [("60 ppm", []), ("120 ppm", ["warn"]), ("400 ppm", ["stop"])])
def test_a_hazard_on_the_channel_of_another_gas_is_held_against_its_own_limits(found, low, expected):
    changed = (SETPOINTS, "low: {set: 50 ppm, protects: osha.twa", f"low: {{set: {low}, protects: osha.twa")
    # by hand: factor 0.5, so 60 ppm are there at 120 ppm, above 50 ppm over 8 h (EU) and below 100 ppm over 15 min
    told = found(changed, whole=True, rules={"toxic-on-other-channel"})
    assert [one.severity.value for one in told] == expected
    assert all(one.source.startswith(("European Union", "NIOSH")) for one in told)
