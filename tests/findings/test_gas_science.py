"""Disturbing gases, clinging vapours, cold liquids and rules for toxic gases, at the very edges."""

from __future__ import annotations

import pytest

from tests.each import each

SENSORS, AREAS, GASES, SET, MODELS = "sensors.yaml", "areas.yaml", "gases.yaml", "setpoints.yaml", "models.yaml"
HAZARD = "      - {gas: methane, why: invented}\n"
BUMPS = (
    ("inventory.yaml", "state: in-use\n    area", "state: spare\n    area"),
    ("inventory.yaml", "state: in-use\n    pool", "state: spare\n    pool"),
)
"""Take gas out of the picture: the alarm is judged alone."""


def cross(gas: str, share: str, name: str = "hydrogen-sulfide") -> tuple[str, str, str]:
    old = f"    calibrated-with: {name}\n    life: 24 months\n"
    return SENSORS, old, f"{old}    cross-sensitivity: {{source: invented, table: {{{gas}: {share}}}}}\n"


@each(
    ("change", "expected"),
    [
        (cross("methane", "-0.01 %"), ["warn cross-hides-target"]),
        (cross("methane", "0 %"), []),
        # methane at the high alarm: 9 %LEL of 4.4 %vol is 0.396, printed 0.40 %vol = 4000 ppm; 5 ppm is the low alarm
        (cross("methane", "0.125 %"), ["note cross-adds"]),
        (cross("methane", "0.124 %"), []),
        # not in the pit, where the sensor is
        (cross("toluene", "-5 %"), []),
        # in the pit both too little and too much oxygen are a risk: more shown hides the one, less the other
        (cross("methane", "5 %", "oxygen"), ["warn cross-hides-target"]),
        (cross("methane", "-5 %", "oxygen"), ["warn cross-hides-target"]),
    ],
)
def test_gases_that_disturb(told, change, expected):
    assert told(*BUMPS, change) == expected


OWN = """  - id: fuel
    own: {name: Fuel vapour, molar-mass: 72 g/mol, reason: invented, source: invented}
    overrides: {lel: {value: 1.4 %vol, reason: invented, source: invented}}
"""


def test_of_a_mixture_of_the_sites_own_in_lel_alone_nobody_knows_whether_it_poisons(found):
    # common practice, no source: a reading in %LEL is no measurement of what poisons
    changes = (
        (GASES, "  - id: methane\n", "  - id: methane\n" + OWN),
        (AREAS, HAZARD, HAZARD + HAZARD.replace("methane", "fuel")),
        (SENSORS, "        toluene: 2.6\n", "        toluene: 2.6\n        fuel: 2.2\n"),
    )
    (told,) = found(*changes, rules={"toxic-by-lel-only"})
    assert (told.severity.value, "not known" in told.message) == ("warn", True)
    listed = "id: works\nshort: Works\nname: W\ntitle: W\nedition: W\nhow-read: W\nread-on: 2026-03-02\nevidence: law\n"
    limits = ("lists/works.yaml", "", listed + "limits:\n  - {gas: fuel, twa: 3000 ppm}\n")
    chosen = ("site.yaml", "limits: [osha,", "limits: [works, osha,")
    assert found(*changes, limits, chosen, rules={"toxic-by-lel-only"}) == []


CLINGS = (GASES, "  - id: methane\n", "  - {id: methane, clings-to-tubes: true}\n")
PIT = "    temperature: 15 °C\n"


@each(
    ("changes", "expected"),
    [
        ((CLINGS,), []),
        ((CLINGS, (AREAS, PIT, PIT + "    hose: 3 m\n")), ["note tube-needs-proof"]),
        ((CLINGS, (AREAS, PIT, PIT + "    depth: 3 m\n")), ["note tube-needs-proof"]),
        (((AREAS, PIT, PIT + "    hose: 3 m\n"),), []),
    ],
)
def test_tubes(told, changes, expected):
    assert told(*changes) == expected


@pytest.mark.parametrize(("factor", "expected"), [("40", True), ("2.6", False)])
def test_a_cold_liquid_that_stays_below_the_alarm(told, factor, expected):
    # toluene at 15 °C: about 2.2 kPa (NIOSH: 21 mmHg at 20 °C, from memory), 220 %LEL; 5 %LEL shown is 200 or 13 true
    changes = [
        (AREAS, HAZARD, HAZARD + HAZARD.replace("methane", "toluene")),
        (AREAS, PIT, "    temperature: 0 °C\n"),
        (SENSORS, "toluene: 2.6", f"toluene: {factor}"),
        ("site.yaml", "us-general-industry", "united-kingdom"),
    ]
    assert ("note cannot-reach-lel" in told(*BUMPS, *changes)) is expected


@pytest.mark.parametrize(("factor", "expected"), [("60", True), ("30", False)])
def test_without_a_temperature_of_the_area_the_site_s_counts(told, factor, expected):
    # as above at the 15 °C of the site: 220 %LEL; 5 %LEL shown is 300 or 150 true
    changes = [
        (AREAS, HAZARD, HAZARD + HAZARD.replace("methane", "toluene")),
        (AREAS, PIT, ""),
        (SENSORS, "toluene: 2.6", f"toluene: {factor}"),
        ("site.yaml", "us-general-industry", "united-kingdom"),
    ]
    assert ("note cannot-reach-lel" in told(*BUMPS, *changes)) is expected


SEWER = (AREAS, "name: Pit\n    activities: [confined-space-entry]", "name: Pit\n    activities: [sewer-entry]")
ABOVE = (MODELS, "alarm-fires: at-or-above\n    pump:", "alarm-fires: above\n    pump:")


def sulfide(low: str, *more: str) -> tuple[str, str, str]:
    old = "    low: {set: 5 ppm, protects: niosh.ceiling, action: Leave.}"
    lines = [f"    low: {{set: {low}, protects: osha.ceiling, action: Leave.}}"]
    return SET, old, "\n".join([*lines, *(f"    {text}" for text in more)])


OF_LISTS = ("place-list-missing", "limit-of-another-place", "limit-not-kept")
"""Rules about lists of limits, which have tests of their own."""
UNDERGROUND = ("site.yaml", "place: us-general-industry", "place: us-underground-construction")


def low(value: str) -> tuple[str, str, str]:
    return SET, "low: {set: 5 %LEL, action: Leave.}", f"low: {{set: {value}, action: Leave.}}"


def high(value: str) -> tuple[str, str, str]:
    return SET, "high: {set: 9 %LEL, action: Leave at once.}", f"high: {{set: {value}, action: Out.}}"


OXYGEN_22 = (SET, "high: {set: 23 %vol,", "high: {set: 21.9 %vol,")
"""29 CFR 1926.800(j)(1): at most 22 %vol underground."""


@each(
    ("changes", "expected"),
    [
        # 29 CFR 1926.800(j)(1): hydrogen sulfide is tested for from 5 ppm on, which is no alarm; that sounds at 20 ppm
        ((low("4 %LEL"), sulfide("19 ppm")), []),
        ((low("4 %LEL"), sulfide("20 ppm")), ["warn alarm-at-limit"]),
        ((low("4 %LEL"), sulfide("21 ppm")), ["stop alarm-above-limit"]),
        # the same: something is done from 5 %LEL on, so the first alarm has to tell of it; people withdraw at 20
        ((low("5 %LEL"), sulfide("9 ppm")), ["warn alarm-at-limit"]),
        ((low("6 %LEL"), sulfide("9 ppm")), ["stop alarm-above-limit"]),
        ((low("4 %LEL"), high("20 %LEL"), sulfide("9 ppm")), ["warn alarm-at-limit"]),
        ((low("4 %LEL"), high("21 %LEL"), sulfide("9 ppm")), ["warn alarm-above-limit"]),
    ],
)
def test_what_a_rule_asks_decides_which_alarm_it_bears_on(told, changes, expected):
    found = told(*BUMPS, UNDERGROUND, OXYGEN_22, *changes)
    assert [one for one in found if not one.endswith(OF_LISTS)] == expected


def test_one_fault_in_several_areas_is_one_finding(found):
    """The low alarm of oxygen at the entry rule's 19.5 %vol, in both areas."""
    at_edge = (SET, "low: {set: 20 %vol, action: Leave.}", "low: {set: 19.5 %vol, action: Leave.}")
    (note,) = found(*BUMPS, at_edge, rules={"alarm-at-limit"})
    assert note.touches == ("area:pit", "area:shop")
    assert note.message.startswith("Pit, Shop: the alarm of too little oxygen is set to")
    assert note.about("area:shop")
    assert not note.about("area:yard")


@each(
    ("changes", "expected"),
    [
        # 29 CFR 1910.146 App. E(2): at 10 ppm of hydrogen sulfide and over the detector of a sewer crew sounds; the
        # ceiling the alarm names is 20 ppm
        ((SEWER, sulfide("9 ppm")), []),
        ((SEWER, sulfide("10 ppm")), ["warn alarm-at-limit"]),
        ((SEWER, sulfide("10 ppm"), ABOVE), ["stop alarm-above-limit"]),
        ((SEWER, sulfide("11 ppm")), ["stop alarm-above-limit"]),
        ((SEWER, sulfide("9 ppm", "high: {set: 15 ppm, protects: osha.ceiling, action: Out.}")), []),
        ((sulfide("11 ppm"),), []),
    ],
)
def test_rules_for_toxic_gases(told, changes, expected):
    found = [line for line in told(*BUMPS, *changes) if not line.endswith(("alarm-without-rule", *OF_LISTS))]
    assert found == expected
