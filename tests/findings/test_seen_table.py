"""What a set that is carried shows of each hazard, and how much of it is there when the first alarm sounds."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builder.base.quantity import magnitude
from builder.figures.compute import compute
from builder.findings import seen_table
from builder.findings.seen_table import Shows, poisons_unseen, seen_rows, sets_alike

SOUND = Path(__file__).parent / "sound"
CARRY = "    activities: [confined-space-entry]\n    carry: [vapours]"


@pytest.fixture
def computed_with(program_with, as_of):
    def make(carry: str, *changes: tuple[str, str, str]):
        more = [("areas.yaml", CARRY, f"    activities: [inspection]\n    carry: {carry}")]
        if "pumped" in carry:
            more.append(("setpoints.yaml", "[pit]\n    channel: flammable", "[pit, shop]\n    channel: flammable"))
        return compute(program_with(*more, *changes), as_of)

    return make


def rows_of(computed, area, number=0):
    place = computed.program.areas[area]
    return list(seen_rows(computed.program, computed.ledger, place, place.carry[number]))


def test_a_solvent_shows_as_a_share_of_its_limit_or_as_vapour(computed_with):
    computed = computed_with("[[pumped, vapours]]")
    toluene = [row for row in rows_of(computed, "shop") if row.seen.gas == "toluene"]
    assert [(row.channel, row.shows) for row in toluene] == [("vapour", Shows.VAPOUR), ("flammable", Shows.SHARE)]
    vapour, share = toluene
    # 50 ppm shown x 0.5 = 25 ppm; 5 %LEL shown x 2.6 = 13 %LEL, of a limit of 1.0 %vol (IEC 60079-20-1:2010): 1300 ppm
    assert vapour.first.there.printed == "25\u00a0ppm"
    assert share.first.there.printed == "1300\u00a0ppm"
    assert share.first.share.printed == "13\u00a0%LEL"
    # OSHA table Z-2: 200, ceiling 300; NIOSH Pocket Guide: 100, short-term 150, dangerous to life 500;
    # directive 2006/15/EC: 50, short-term 100
    values = sorted(magnitude(limit.amount, "ppm") for limit in share.limits)
    assert values == [50, 100, 100, 150, 200, 300, 500]
    assert set(share.passed) == set(share.limits)
    assert vapour.passed == ()
    assert [magnitude(limit.amount, "ppm") for limit in share.of_kind("twa")] == [50, 100, 200]


def test_a_gas_that_poisons_before_its_only_alarm_is_told_with_its_strictest_limit(computed_with):
    computed = computed_with("[[pumped, vapours], [pumped]]")
    (found,) = poisons_unseen(computed.program, computed.ledger, computed.program.areas["shop"]).items()
    gas, (first, limit) = found
    # 1300 ppm as above, beyond the 50 ppm of directive 2006/15/EC
    assert (gas, first.there.printed, limit.printed) == ("toluene", "1300\u00a0ppm", "50\u00a0ppm")


def test_of_sets_that_differ_the_one_that_sounds_last_is_told(computed_with, monkeypatch):
    computed = computed_with("[[pumped, vapours], [pumped]]")
    (row,) = (row for row in rows_of(computed, "shop", 1) if row.seen.only_by_lel)
    late = replace(row, alarms=row.alarms[::-1])
    for rows in ((row, late), (late, row)):
        monkeypatch.setattr(seen_table, "seen_rows", lambda *_, rows=rows: iter(rows))
        found = poisons_unseen(computed.program, computed.ledger, computed.program.areas["shop"])
        assert found["toluene"][0] is row.alarms[1]


def test_a_gas_that_another_sensor_of_the_set_shows_in_time_is_no_such_poison(computed_with):
    computed = computed_with("[[pumped, vapours]]")
    assert poisons_unseen(computed.program, computed.ledger, computed.program.areas["shop"]) == {}


def test_a_true_concentration_is_rounded_up(computed_with):
    # 7 %LEL x 1.93 = 13.51 %LEL of 1.0 %vol: 1351 ppm, two digits, never less than is there
    factor = ("sensors.yaml", "toluene: 2.6", "toluene: 1.93")
    alarm = ("setpoints.yaml", "low: {set: 5 %LEL", "low: {set: 7 %LEL")
    rows = rows_of(computed_with("[[pumped, vapours]]", factor, alarm), "shop")
    (toluene,) = [row for row in rows if row.shows is Shows.SHARE]
    assert toluene.first.there.printed == "1400\u00a0ppm"


def test_what_a_set_does_not_show_is_a_row_too(computed_with):
    blind = ("sensors.yaml", "    minimum-oxygen: 10 %vol", "    minimum-oxygen: 10 %vol\n    blind-to: [toluene]")
    computed = computed_with("[vapours, pumped]", blind)
    assert [row.shows for row in rows_of(computed, "shop", 1)] == [Shows.NOT, Shows.OXYGEN]


def test_oxygen_alone_has_its_own_alarms_and_no_limit(computed_with):
    computed = computed_with("[vapours]")
    (oxygen,) = [row for row in rows_of(computed, "pit") if row.seen.gas == "oxygen"]
    assert [(one.alarm, one.there.printed) for one in oxygen.alarms] == [
        ("low", "20.0\u00a0%vol"),
        ("high", "23.0\u00a0%vol"),
    ]
    assert (oxygen.shows, oxygen.limits) == (Shows.ITSELF, ())


def test_sets_that_show_the_same_stand_together(computed_with):
    computed = computed_with("[vapours, [pumped, vapours], pumped]")
    groups = sets_alike(computed.program, computed.program.areas["shop"])
    assert [[carried.id for carried in group] for group in groups] == [["vapours"], ["pumped-and-vapours"], ["pumped"]]
