"""Lists of limits and the places they are law in: what alarms may protect, and what a place lacks."""

from __future__ import annotations

from datetime import date

import pytest

from builder.findings.rules.alarm_limits import limit_missing, limit_of_another_place
from builder.findings.rules.alarm_rules import limit_not_kept
from builder.findings.rules.values import place_list_missing, value_read_once
from tests.each import each

SET, SITE, AREAS = "setpoints.yaml", "site.yaml", "areas.yaml"
MISSING, ELSEWHERE = limit_missing.id, limit_of_another_place.id
LACKING, ONCE = place_list_missing.id, value_read_once.id


def protecting(limit: str) -> tuple[str, str, str]:
    return SET, "low: {set: 5 ppm, protects: niosh.ceiling,", f"low: {{set: 5 ppm, protects: {limit},"


def in_place(name: str) -> tuple[str, str, str]:
    return SITE, "place: us-general-industry", f"place: {name}"


def lists(*names: str) -> tuple[str, str, str]:
    return SITE, "limits: [osha, niosh, eu]", f"limits: [{', '.join(names)}]"


TOLUENE_NIOSH = (SET, "protects: osha.twa, protects-gas: toluene", "protects: niosh.twa, protects-gas: toluene")
TOLUENE_SHIPYARD = (SET, "protects: osha.twa,", "protects: osha-shipyard.twa,")
SHIPYARD_PIT = (AREAS, "    name: Pit\n", "    name: Pit\n    place: us-shipyard\n")


def sulfide(value: str, alarm: str = "low") -> tuple[str, str, str]:
    old = "low: {set: 5 ppm, protects: niosh.ceiling,"
    return SET, old, f"{alarm}: {{set: {value}, protects: niosh.ceiling,"


def of_lists(found):
    ids = {MISSING, ELSEWHERE, LACKING, ONCE}
    return sorted((one.severity.value, one.rule) for one in found if one.rule in ids)


@each(
    ("changes", "expected"),
    [
        ((), []),
        # 29 CFR 1915.1000 Table Z is the shipyards' own: hydrogen sulfide 10 ppm as an average, no ceiling of 20
        ((in_place("us-shipyard"), TOLUENE_NIOSH), [("stop", LACKING)]),
        ((in_place("us-shipyard"), TOLUENE_NIOSH, lists("osha-shipyard", "niosh", "eu")), []),
        ((SHIPYARD_PIT, protecting("osha-shipyard.twa")), []),
        ((SHIPYARD_PIT, protecting("osha.ceiling")), [("stop", ELSEWHERE)]),
        ((SHIPYARD_PIT, protecting("niosh.ceiling")), []),
        # a place whose law does not ship says so, and another country's law proves less there
        ((in_place("germany"), TOLUENE_NIOSH, lists("niosh", "eu")), [("note", LACKING)]),
        ((in_place("germany"), lists("niosh", "eu")), [("note", LACKING), ("warn", ELSEWHERE)]),
        # toluene of 1915.1000 was read in one copy
        ((protecting("osha.ceiling"),), []),
        (
            (in_place("us-shipyard"), lists("osha-shipyard", "niosh"), TOLUENE_SHIPYARD),
            [("note", ONCE)],
        ),
    ],
)
def test_lists_and_places(found, changes, expected):
    assert of_lists(found(*changes)) == expected


def test_the_own_limit_of_the_place_is_told(found):
    (stop,) = [one for one in found(SHIPYARD_PIT, protecting("osha.ceiling")) if one.rule == ELSEWHERE]
    # 29 CFR 1915.1000 Table Z: 10 ppm
    assert "its own has OSHA shipyard limit 8 h TWA 10 ppm" in stop.message
    assert stop.where.file == SET


def acrylonitrile(limit: str) -> tuple[tuple[str, str, str], ...]:
    factor = ("sensors.yaml", "toluene: 0.5\n", "toluene: 0.5\n        acrylonitrile: 2\n")
    gases = ("gases.yaml", "  - id: toluene\n", "  - id: toluene\n  - id: acrylonitrile\n")
    lamp = ("sensors.yaml", "lamp: 10.6 eV", "lamp: 11.7 eV")
    old = "low: {set: 50 ppm, protects: osha.twa, protects-gas: toluene,"
    return factor, gases, lamp, (SET, old, f"low: {{set: 5 ppm, protects: {limit}, protects-gas: acrylonitrile,")


def test_a_superseded_value_is_the_basis_of_no_pass(found):
    # NIOSH announced a new danger-to-life value of acrylonitrile; its number was not read, the old one was 85 ppm
    (stop,) = [one for one in found(*acrylonitrile("niosh.idlh")) if one.rule == MISSING]
    assert stop.severity.value == "stop"
    assert "85 ppm is superseded" in stop.message
    # NIOSH ceiling of 10 ppm, Pocket Guide p. 8: in force
    assert [one for one in found(*acrylonitrile("niosh.ceiling")) if one.rule == MISSING] == []


@pytest.mark.parametrize(("day", "stops"), [(date(2026, 4, 4), 1), (date(2026, 4, 5), 0)])
def test_a_limit_counts_from_its_day_on(found, day, stops):
    # (EU) 2022/431: acrylonitrile has a limit in the European list from 5 April 2026 on
    missing = [one for one in found(*acrylonitrile("eu.stel"), as_of=day) if one.rule == MISSING]
    assert len(missing) == stops


def in_mine(name: str, low: str, high: str = "9 %LEL") -> tuple[tuple[str, str, str], ...]:
    old = "    low: {set: 5 %LEL, action: Leave.}\n    high: {set: 9 %LEL, action: Leave at once.}"
    new = f"    low: {{set: {low}, action: Leave.}}\n    high: {{set: {high}, action: Leave at once.}}"
    return in_place(name), TOLUENE_NIOSH, (SET, old, new)


@each(
    ("changes", "expected"),
    [
        # 4.4 %vol is 100 %LEL (IEC 60079-20-1:2010), so 1.0 %vol is 22.7 %LEL and 1.5 %vol is 34.09 %LEL by hand
        # 30 U.S.C. 863(h): something is done at 1.0 %vol, everybody is out at 1.5 %vol
        (in_mine("us-coal-mine", "22 %LEL", "34 %LEL"), set()),
        (in_mine("us-coal-mine", "23 %LEL", "34 %LEL"), {"stop"}),
        # a later alarm only warns: the first has sounded by then
        (in_mine("us-coal-mine", "22 %LEL", "35 %LEL"), {"warn"}),
        # 30 CFR 57.22233, class I-C: at 0.5 %vol no work but to lower it, 11.4 %LEL by hand
        (in_mine("us-metal-mine-i-c", "11 %LEL", "11 %LEL"), set()),
        (in_mine("us-metal-mine-i-c", "12 %LEL", "12 %LEL"), {"stop", "warn"}),
    ],
)
def test_mines_name_methane_by_volume(found, changes, expected):
    told = [one for one in found(*changes) if one.rule == "alarm-above-limit" and "flammable" in one.message]
    assert {one.severity.value for one in told} == expected
    assert all("%vol" in one.message for one in told)


@each(
    ("changes", "expected"),
    [
        # hydrogen sulfide: NIOSH ceiling 10 ppm, OSHA ceiling 20 ppm; the European list has an average of 5 ppm
        ((lists("osha", "niosh"), sulfide("10 ppm")), set()),
        ((lists("osha", "niosh"), sulfide("11 ppm")), {"NIOSH REL ceiling"}),
        ((lists("osha", "niosh", "eu"), sulfide("6 ppm")), {"EU limit 8 h TWA"}),
        # an average keeps no ceiling of the same number, and a short-term average no ceiling either
        ((lists("osha", "niosh"), sulfide("9 ppm", "twa")), {"NIOSH REL ceiling"}),
        ((lists("osha", "niosh"), sulfide("9 ppm", "stel")), {"NIOSH REL ceiling"}),
        ((lists("osha", "eu"), sulfide("5 ppm", "twa")), {"EU limit STEL", "OSHA PEL ceiling"}),
        # an average of a quarter of an hour keeps one of a shift: 29 CFR 1915.1000 has 10 ppm as an average
        ((lists("osha"), SHIPYARD_PIT, sulfide("10 ppm", "stel")), set()),
        ((lists("osha"), SHIPYARD_PIT, sulfide("11 ppm", "stel")), {"OSHA shipyard limit 8 h TWA"}),
    ],
)
def test_every_binding_limit_of_the_lists_wants_an_alarm_that_keeps_it(found, changes, expected):
    told = [one for one in found(*changes) if one.rule == limit_not_kept.id and "ulfid" in one.message]
    assert all(one.severity.value == ("stop" if "ceiling" in one.message else "warn") for one in told)
    assert {one.message.partition("keeps the ")[2].partition(",")[0] for one in told} == expected
