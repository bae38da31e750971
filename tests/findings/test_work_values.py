"""Who goes in, or lights a flame, does so at readings that are stricter than alarms and rules."""

from __future__ import annotations

from functools import partial

import pytest

from tests.each import each

SITE, AREAS = "site.yaml", "areas.yaml"
HOT = (
    AREAS,
    "    activities: [confined-space-entry]\n    carry: [pumped]",
    "    activities: [hot-work]\n    carry: [pumped]",
)


@pytest.fixture(name="found")
def _found(found):
    return partial(found, whole=True)


def weights(findings):
    return [one.severity.value for one in findings if one.rule == "work-value-late"]


@each(
    ("accept", "expected"),
    [
        ("{flammable: {to: 0 %LEL}}", []),
        ("{flammable: {to: 4 %LEL}}", []),
        ("{flammable: {to: 5 %LEL}}", ["stop"]),  # where the first alarm of the pit stands
        ("{oxygen: {from: 20.5 %vol, to: 21.2 %vol}}", []),
        ("{oxygen: {from: 20 %vol, to: 21.2 %vol}}", ["stop"]),
        ("{oxygen: {from: 20.5 %vol, to: 23 %vol}}", ["stop"]),
    ],
)
def test_people_go_in_below_the_alarms(found, accept, expected):
    # common practice, no source: "no alarm" is no condition for going in
    text = f"entry: {{accept: {accept}, retest-every: 30 min}}\n"
    assert weights(found((SITE, "contacts:", text + "contacts:"))) == expected


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        ("", ["stop"]),  # below the first alarm, 5 %LEL
        ("entry: {accept: {flammable: {to: 2 %LEL}}, retest-every: 30 min}\n", ["stop"]),
        ("entry: {accept: {flammable: {to: 1 %LEL}}, retest-every: 30 min}\n", []),
    ],
)
def test_a_rule_for_going_in_is_no_rule_for_alarms(found, entry, expected):
    # IMO Resolution A.1050(27) 7.2: no entry above 1 % of the lower flammable limit, by the test before; read
    findings = found((SITE, "place: us-general-industry", "place: imo-ships"), (SITE, "contacts:", entry + "contacts:"))
    assert weights(findings) == expected
    assert [one.message for one in findings if one.rule == "alarm-above-limit"] == []


@pytest.mark.parametrize(("watch", "expected"), [("30 min", []), ("29 min", ["stop"]), ("0.5 h", [])])
def test_a_fire_watch_is_as_long_as_the_rule_asks(found, watch, expected):
    # 29 CFR 1910.252 (a)(2)(iii)(B), at least a half hour; read in a copy of the eCFR
    text = f"hot-work: {{start: {{flammable: {{to: 0 %LEL}}}}, retest-every: 30 min, watch: {watch}}}\n"
    assert weights(found(HOT, (SITE, "contacts:", text + "contacts:"))) == expected


@pytest.mark.parametrize(("stop", "expected"), [("{flammable: 9 %LEL}", []), ("{flammable: 10 %LEL}", ["stop"])])
def test_hot_work_stops_at_the_second_alarm_at_the_latest(found, stop, expected):
    # general industry names no number for hot work; common practice, no source: an alarm that sounds ends the work
    text = f"hot-work: {{start: {{flammable: {{to: 0 %LEL}}}}, stop: {stop}, retest-every: 30 min, watch: 30 min}}\n"
    assert weights(found(HOT, (SITE, "contacts:", text + "contacts:"))) == expected


@pytest.mark.parametrize(("every", "expected"), [("60 min", 0), ("61 min", 2), ("8 h", 2)])
def test_air_is_tested_again_every_hour(found, every, expected):
    # 29 CFR 1910.269 (e)(14), open flame in a utility space: at least hourly; read in a copy of the eCFR
    text = f"entry: {{accept: {{flammable: {{to: 0 %LEL}}}}, retest-every: {every}}}\n"
    text += f"hot-work: {{start: {{flammable: {{to: 0 %LEL}}}}, retest-every: {every}, watch: 30 min}}\n"
    assert sum(one.rule == "retest-seldom" for one in found((SITE, "contacts:", text + "contacts:"))) == expected


@pytest.mark.parametrize(("within", "expected"), [("15 min", 0), ("16 min", 1)])
def test_help_comes_within_a_quarter_of_an_hour(found, within, expected):
    # 29 CFR 1910.146, appendix F, A.II (1): ten to fifteen minutes, and that for machines only; copy of the eCFR
    change = (AREAS, "    carry: [pumped]", f"    rescue-within: {within}\n    carry: [pumped]")
    assert sum(one.rule == "help-late" for one in found(change)) == expected


@each(
    ("shift", "said", "expected"),
    [("8 h", "", 0), ("12 h", "", 1), ("12 h", "long-shift: none\n", 0), ("12 h", "long-shift: brief-scala\n", 0)],
)
def test_a_turn_longer_than_its_averages_is_answered_for(found, shift, said, expected):
    # 29 CFR 1910.1000 (a): averages over an 8-hour shift; read in a copy of the eCFR
    averaged = "protects-gas: toluene, action: Leave.}"
    twa = f"{averaged}\n    twa: {{set: 50 ppm, protects: osha.twa, {averaged}"
    findings = found((SITE, "shift: 12 h\n", f"shift: {shift}\n{said}"), ("setpoints.yaml", averaged, twa))
    assert sum(one.rule == "long-shift-undecided" for one in findings) == expected


@pytest.mark.parametrize(("key", "every"), [("review-every", "12 months"), ("cards-valid-for", "12 months")])
def test_what_comes_less_than_once_a_year_is_told(found, key, every):
    # 29 CFR 1910.146 (d)(14): within a year after each entry; copy of the eCFR
    assert not found(rules={"review-seldom"})
    findings = found((SITE, f"  {key}: {every}", f"  {key}: 13 months"))
    assert [one.severity.value for one in findings if one.rule == "review-seldom"] == ["warn"]


def test_a_sewer_has_the_gases_of_a_sewer(found):
    # 29 CFR 1910.146, appendix E (2): oxygen, flammable gas, hydrogen sulfide, carbon monoxide; copy of the eCFR
    findings = found((AREAS, HOT[1], HOT[1].replace("entry]", "entry, sewer-entry]")))
    told = [one.message for one in findings if one.rule == "sewer-hazard-missing"]
    assert len(told) == 1
    assert "carbon monoxide is not among" in told[0]
