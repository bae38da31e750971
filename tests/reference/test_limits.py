"""What limits are called, from when they count, which are superseded, and which of several bind together."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from builder.reference.library import library
from builder.reference.limits import KINDS, LIMIT_KINDS, at_least_as_strict, binding, column_of, shipped_lists
from builder.reference.published import Published
from builder.reference.tables import read_table
from tests.each import each

LIBRARY = library()
DAY = date(2026, 11, 28)


def limit(kind: str, value: str) -> Published:
    return replace(LIBRARY.limits("toluene", "osha", DAY)["twa"], prop=kind, value=Fraction(value), text=value)


@each("name", shipped_lists())
def test_each_list_has_names_of_its_own_and_tables_that_hold_its_kinds(name: str) -> None:
    listed = shipped_lists()[name]
    others = [other for other in shipped_lists().values() if other is not listed]
    for text in ("short", "label", "name"):
        assert getattr(listed, text)
        assert getattr(listed, text) not in [getattr(other, text) for other in others]
    assert "twa" in listed.kinds
    for table in listed.tables:
        assert table is read_table(table.source.id)
        assert set(table.units) & {column_of(kind) for kind in LIMIT_KINDS}


@each(
    ("name", "kind", "called"),
    [
        # NIOSH Pocket Guide: a REL TWA is for up to 10 hours a day; an IDLH is none of the recommended limits
        ("niosh", "twa", "NIOSH REL TWA for up to 10 h"),
        ("niosh", "idlh", "NIOSH IDLH"),
        ("niosh", "ceiling", "NIOSH REL ceiling"),
        # 29 CFR 1910.1000: averages over 8 hours; 1910.1047(c)(2): excursion limit
        ("osha", "twa", "OSHA PEL 8 h TWA"),
        ("osha", "excursion", "OSHA PEL excursion limit"),
        # EH40/2005 calls its values workplace exposure limits
        ("uk", "stel", "UK WEL STEL"),
    ],
)
def test_what_a_limit_is_called(name: str, kind: str, called: str) -> None:
    assert shipped_lists()[name].called(kind) == called


@each(
    ("day", "value"),
    [
        # 2004/37/EC Annex III as amended by (EU) 2022/431: 1 ppm until 5 April 2024, 0.5 until 5 April 2026, then 0.2
        ("2024-04-04", "1"),
        ("2024-04-05", "0.5"),
        ("2026-04-04", "0.5"),
        ("2026-04-05", "0.2"),
        ("2030-01-01", "0.2"),
    ],
)
def test_the_limit_of_the_day_counts(day: str, value: str) -> None:
    assert LIBRARY.limits("benzene", "eu", date.fromisoformat(day))["twa"].text == value


def test_what_came_before_and_what_comes_is_said_beside_it() -> None:
    before, after = (LIBRARY.limits("benzene", "eu", date(year, 11, 28))["twa"] for year in (2025, 2026))
    assert "superseded from 5 Apr 2026 on, by 0.2 ppm" in before.note
    assert "superseded: 1 ppm before that day" in before.note
    assert "in force since 5 Apr 2026; superseded: 0.5 ppm before that day" in after.note
    assert (after.since, after.until) == (date(2026, 4, 5), None)
    assert [one.text for one in LIBRARY.limit_history("benzene", "eu", "twa")] == ["1", "0.5", "0.2"]


def test_a_limit_to_come_counts_on_no_day_before() -> None:
    # (EU) 2022/431: acrylonitrile 0.45 ppm from 5 April 2026 (from memory, marked so in the table)
    assert LIBRARY.limits("acrylonitrile", "eu", date(2026, 4, 4)) == {}
    assert LIBRARY.limits("acrylonitrile", "eu", date(2026, 4, 5))["twa"].text == "0.45"


def test_a_newer_edition_wins_and_one_whose_number_nobody_read_makes_the_old_one_superseded() -> None:
    # DHHS (NIOSH) 2017-202: 13 ppm for nitrogen dioxide; a profile of acrylonitrile was announced, its number not read
    new = LIBRARY.limits("nitrogen-dioxide", "niosh", DAY)["idlh"]
    assert (new.text, new.source.id, new.superseded) == ("13", "niosh-idlh-profiles", "")
    assert [one.text for one in LIBRARY.limit_history("nitrogen-dioxide", "niosh", "idlh")] == ["20", "13"]
    old = LIBRARY.limits("acrylonitrile", "niosh", DAY)["idlh"]
    assert (old.text, old.source.id) == ("85", "niosh-pocket-guide-2005")
    assert "not read" in old.superseded
    superseded = [
        (gas.id, name, kind)
        for gas in LIBRARY.gases()
        for name in LIBRARY.limit_lists()
        for kind, value in LIBRARY.limits(gas.id, name, DAY).items()
        if value.superseded
    ]
    assert superseded == [("acrylonitrile", "niosh", "idlh")]


@each(
    ("limits", "expected"),
    [
        # 29 CFR 1926.55 chlorine 1 ppm as an average, 1910.1000 Table Z-1 1 ppm as a ceiling: the ceiling keeps both
        ([("twa", "1"), ("ceiling", "1")], [("ceiling", "1")]),
        ([("ceiling", "1"), ("twa", "1")], [("ceiling", "1")]),
        # hydrogen sulfide, average of 10 (1926.55) and ceiling of 20 (Table Z-2): neither keeps the other
        ([("twa", "10"), ("ceiling", "20")], [("twa", "10"), ("ceiling", "20")]),
        ([("twa", "10"), ("ceiling", "5")], [("ceiling", "5")]),
        ([("stel", "5"), ("twa", "1"), ("excursion", "5")], [("stel", "5"), ("twa", "1")]),
        ([("twa", "200"), ("twa", "100"), ("twa", "100")], [("twa", "100")]),
        # what is dangerous to life is no value to work to, however low
        ([("idlh", "1"), ("twa", "10")], [("twa", "10")]),
        ([("idlh", "1")], []),
        ([], []),
    ],
)
def test_which_limits_bind(limits: list[tuple[str, str]], expected: list[tuple[str, str]]) -> None:
    found = binding(limit(kind, value) for kind, value in limits)
    assert [(one.prop, one.text) for one in found] == expected


def test_strictness_needs_kind_and_number() -> None:
    assert at_least_as_strict(limit("ceiling", "1"), limit("twa", "1"))
    assert not at_least_as_strict(limit("twa", "1"), limit("ceiling", "1"))
    assert not at_least_as_strict(limit("ceiling", "2"), limit("twa", "1"))
    assert not at_least_as_strict(limit("idlh", "1"), limit("twa", "10"))


def test_only_danger_to_life_is_no_value_to_work_to() -> None:
    assert [kind.id for kind in KINDS if not kind.to_work_to] == ["idlh"]


def test_what_a_list_prints_in_mass_stands_beside_its_ppm_and_is_not_worked_out() -> None:
    # 29 CFR 1926.55 Appendix A, copy of the eCFR: hydrogen sulfide 10 ppm, 15 mg/m3; 10 x 34.08 / 24.465 would be 13.93
    masses = library().limit_masses("hydrogen-sulfide", "osha-construction", date(2026, 11, 25))
    assert [(kind, value.text, value.unit) for kind, value in masses.items()] == [("twa", "15", "mg/m3")]
    assert library().limit_masses("hydrogen-sulfide", "niosh", date(2026, 11, 25)) == {}
