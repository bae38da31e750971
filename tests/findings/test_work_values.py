"""Who goes in, or lights a flame, does so at readings that are stricter than alarms and rules."""

from __future__ import annotations

from functools import partial

import pytest

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


@pytest.mark.parametrize(
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


@pytest.mark.parametrize(("watch", "expected"), [("30 min", []), ("29 min", ["stop"]), ("0.5 h", [])])
def test_a_fire_watch_is_as_long_as_the_rule_asks(found, watch, expected):
    # 29 CFR 1910.252 (a)(2)(iii)(B), at least a half hour; read in a copy of the eCFR
    text = f"hot-work: {{start: {{flammable: {{to: 0 %LEL}}}}, retest-every: 30 min, watch: {watch}}}\n"
    assert weights(found(HOT, (SITE, "contacts:", text + "contacts:"))) == expected
