"""Asset numbers, numbers of bottles and initials: kept as they are written, and found again however they are typed."""

from __future__ import annotations

import pytest

from builder.program.markings import MOST_KEPT, Spellings, made_id, matched
from tests.each import each

WRITTEN = [
    ("GD 014/2", "GD-014-2"),
    ("  0042 ", "0042"),
    ("M.O.", "M-O"),
    ("Ex_7", "Ex-7"),
    ("№ 12", "12"),
    ("--", ""),
]


@each(("written", "made"), WRITTEN)
def test_an_id_is_made_of_letters_and_digits(written, made):
    assert made_id(written) == made


@each("spelling", ["GD-014-2", "gd-014-2", "GD 014/2", "gd_014_2", " GD  014 2"])
def test_an_id_is_known_in_every_spelling(spelling):
    assert Spellings({matched("GD-014-2"): "GD-014-2"})[spelling] == "GD-014-2"


@pytest.mark.parametrize("other", ["GD-0142", "GD-14-2", "GD-014", "zz"])
def test_another_id_stays_what_it_is(other):
    """A leading zero or a missing part makes another instrument."""
    assert Spellings({matched("GD-014-2"): "GD-014-2"})[other] == other


def test_spellings_that_are_kept_are_bounded():
    known = Spellings({})
    for number in range(MOST_KEPT + 10):
        assert known[str(number)] == str(number)
    assert len(known) == MOST_KEPT


# ---- in content -----------------------------------------------------------------


@pytest.fixture
def renamed(changed):
    """The site with an asset number, a bottle and initials in capitals."""
    folder = changed(("people.yaml", "id: kd", "id: KD"))
    for name in ("inventory.yaml", "cylinders.yaml", "procedures/bump.md"):
        path = folder / name
        text = path.read_text(encoding="utf-8").replace("d-001", "GD_001A").replace("c-1", "C-1")
        path.write_text(text, encoding="utf-8")
    return folder


def test_markings_keep_their_case(renamed, program_of):
    program = program_of(renamed)
    assert "GD_001A" in program.units
    assert "C-1" in program.cylinders
    assert "KD" in program.people
    assert program.units["GD_001A"].cylinders[0].value == "C-1"


def test_records_find_them_however_they_are_typed(renamed, program_of):
    """An export has them in the case of whoever typed; what was written is kept beside what is meant."""
    rows = "gd_001a,2026-11-24T05:40-07:00,bump-test,o2,c-1,17.9,,12,pass,kd,\n"
    path = renamed / "records" / "rounds.csv"
    path.write_text(path.read_text(encoding="utf-8").splitlines()[0] + "\n" + rows, encoding="utf-8")
    [record] = [one for one in program_of(renamed).records if one.where.file == "records/rounds.csv"]
    assert (record.unit.value, record.unit.text) == ("GD_001A", "gd_001a")
    assert (record.cylinder.value, record.by.value) == ("C-1", "KD")


def test_two_ids_that_can_be_taken_for_each_other_are_refused(changed, told):
    folder = changed(("inventory.yaml", "id: d-002", "id: D_001"))
    assert (
        "inventory.yaml:9: unit id 'D_001' can be taken for 'd-001' (at inventory.yaml:2); "
        "allowed: ids that differ in more than case and what parts their letters"
    ) in told(folder)


def test_an_id_with_other_signs_is_told_with_one_that_can_be_had(changed, told):
    folder = changed(("inventory.yaml", "id: d-002", "id: GD 014/2"))
    assert (
        "inventory.yaml:9: id 'GD 014/2'; allowed: letters, digits, single hyphens and underscores; nearest: GD-014-2"
    ) in told(folder)


def test_ids_of_what_the_handbook_itself_names_stay_in_small_letters(changed, told):
    folder = changed(("areas.yaml", "id: pit", "id: Pit"))
    assert any(
        "id 'Pit'; allowed: lower-case letters, digits and single hyphens; nearest: pit" in one for one in told(folder)
    )


TABLE = "id,model,serial,state,area,cylinder\nGD 014/2,three-pumped,T3-1,in-use,pit,C-1\n"


def test_a_map_has_ids_made_of_asset_numbers_and_records_find_them(changed, program_of):
    folder = changed()
    (folder / "inventory.yaml").unlink()
    (folder / "inventory.csv").write_text(TABLE, encoding="utf-8")
    maps = folder / "maps.yaml"
    maps.write_text("inventory:\n  ids: made\n" + maps.read_text(encoding="utf-8"), encoding="utf-8")
    rows = "gd 014/2,2026-11-24T05:40-07:00,bump-test,o2,c-1,17.9,,12,pass,kd,\n"
    path = folder / "records" / "rounds.csv"
    path.write_text(path.read_text(encoding="utf-8").splitlines()[0] + "\n" + rows, encoding="utf-8")
    program = program_of(folder)
    assert list(program.units) == ["GD-014-2"]
    assert program.units["GD-014-2"].cylinders[0].value == "c-1"
    assert "GD-014-2" in {record.unit.value for record in program.records}


def test_without_such_a_map_the_table_is_refused_with_what_would_do(changed, told):
    folder = changed()
    (folder / "inventory.yaml").unlink()
    (folder / "inventory.csv").write_text(TABLE, encoding="utf-8")
    assert any(
        line.startswith("inventory.csv:2: id 'GD 014/2';") and line.endswith("nearest: GD-014-2")
        for line in told(folder)
    )
