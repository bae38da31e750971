"""What is wrong with a file is told by its true cause, and first; what follows from it is not told.

How encodings are told is Unicode's: its byte order marks, and the zero byte that UTF-16 gives each Latin letter (The
Unicode Standard, section 2.6 and table 2-4). Reserved names are Windows' own ("Naming Files, Paths, and Namespaces").
"""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.cli.main import run

MINIMAL = Path(__file__).parent.parent / "sites" / "minimal"
TABLE = "id,model,serial,state,pool\nu-1,two-pumped,Süd 1,spare,store\n"


@pytest.fixture
def told(content, capsys):
    """Every fault of the content, without its folder; kinds, excerpts and what is allowed are left out."""

    def ask():
        assert run(["check", "--content", str(content), "--quiet"]) == 1
        lines = capsys.readouterr().err.split("\n")
        faults = [line.removeprefix(f"{content.as_posix()}/") for line in lines if line.startswith(content.as_posix())]
        return [fault.rpartition(" [")[0] for fault in faults]

    return ask


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("name", ["site.yaml", "pages/home.md", "inventory.csv"])
def test_utf_16_is_named(encoding, name, content, told):
    path = content / name
    if name == "inventory.csv":
        (content / "inventory.yaml").unlink()
        path.write_text(TABLE, encoding=encoding)
    else:
        path.write_text(path.read_text(encoding="utf-8"), encoding=encoding)
    assert told() == [f"{name}:1: text saved as UTF-16, which some editors call Unicode"]


@pytest.mark.parametrize("name", ["site.yaml", "inventory.csv"])
def test_windows_1252_is_named(name, content, told):
    if name == "inventory.csv":
        (content / "inventory.yaml").unlink()
        (content / name).write_text(TABLE, encoding="cp1252")
    else:
        with (content / name).open("ab") as stream:
            stream.write("# Süd\n".encode("cp1252"))
    (fault,) = told()
    assert "a byte that is not UTF-8 (0xfc), as in text saved as ANSI or Windows-1252" in fault


def test_cells_parted_by_tabs_are_named(content, told):
    (content / "inventory.yaml").unlink()
    (content / "inventory.csv").write_text(TABLE.replace(",", "\t"), encoding="utf-8")
    assert told() == ["inventory.csv:1: cells parted by tabs"]


def test_a_folder_with_the_name_of_a_file_is_named(content, told):
    (content / "inventory.yaml").unlink()
    (content / "inventory.csv").mkdir()
    assert told() == ["inventory.csv:1: a folder with the name of a file"]


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("2,2 %vol", ["'2,2 %vol' has a decimal comma", "allowed: a decimal point, as in 2.2 %vol"]),
        ("2,25 %vol", ["'2,25 %vol' has a decimal comma"]),
        ("0,500 %vol", ["'0,500 %vol' has a decimal comma"]),
        ("1,500 ppm", ["'1,500 ppm' has a comma [", "allowed: 1500 ppm or 1.500 ppm, whichever is meant"]),
        ("1,5000 ppm", ["'1,5000 ppm' has a decimal comma"]),
    ],
)
def test_a_comma_in_braces_is_named_and_nothing_else_and_thousands_are_not_taken_for_decimals(
    written, said, content, capsys
):
    path = content / "cylinders.yaml"
    text = path.read_text(encoding="utf-8")
    old = next(line for line in text.split("\n") if "gas: methane" in line)
    value = old.split("value: ")[1].split(",")[0]
    path.write_text(text.replace(old, old.replace(value, written)), encoding="utf-8")
    assert run(["check", "--content", str(content), "--quiet"]) == 1
    lines = [line.strip() for line in capsys.readouterr().err.split("\n")]
    faults = [line for line in lines if line.startswith(content.as_posix())]
    assert len(faults) == 1
    for part in said:
        assert [line for line in lines if part in line], part


def test_a_blank_at_the_end_of_a_serial_is_told(content, told):
    path = content / "inventory.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace('T2-0001"', 'T2-0001 "'), encoding="utf-8")
    (fault,) = told()
    assert "serial 'T2-0001 ' with a blank at its end" in fault


@pytest.mark.parametrize("name", ["con", "nul", "aux", "prn", "com1", "lpt9"])
def test_names_that_windows_reserves_are_refused_with_their_line(name, content, told):
    path = content / "inventory.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("id: d-002", f"id: {name}"), encoding="utf-8")
    (fault,) = told()
    assert f"id '{name}', which names a device on Windows" in fault
    assert fault.startswith("inventory.yaml:")


def test_an_id_too_long_for_the_name_of_a_file_is_refused_with_its_line(content, told):
    path = content / "inventory.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("id: d-002", "id: " + "d" * 81), encoding="utf-8")
    (fault,) = told()
    assert "an id of 81 characters" in fault


@pytest.mark.parametrize("lacking", ["漢", "\U0001f680", "ก"])
def test_a_character_that_no_face_has_is_told_by_check_with_its_line(lacking, content, told):
    site = content / "site.yaml"
    lines = site.read_text(encoding="utf-8").split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("name:"))
    lines[at] = f"name: Works {lacking}"
    site.write_text("\n".join(lines), encoding="utf-8")
    with (content / "pages" / "home.md").open("a", encoding="utf-8") as page:
        page.write(f"\nSee **{lacking}**.\n")
    found = told()
    assert f"site.yaml:{at + 1}: no type face of the handbook has '{lacking}' (U+{ord(lacking):04X})" in found
    assert [fault.partition(":")[0] for fault in found] == ["site.yaml", "pages/home.md"]


@pytest.mark.parametrize("name", ["Łódź Œuvre", "Αθήνα", "Днепр", "Çeşme Șiret", "≥ 5 µm · 3 °C – “x”", "cafe\u0301"])
def test_letters_that_are_drawn_are_not_refused(name, content):
    site = content / "site.yaml"
    lines = site.read_text(encoding="utf-8").split("\n")
    lines = [f"name: {name}" if line.startswith("name:") else line for line in lines]
    site.write_text("\n".join(lines), encoding="utf-8")
    assert run(["check", "--content", str(content), "--quiet"]) == 0
