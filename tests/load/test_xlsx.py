"""Workbooks: what a cell holds becomes text, and whatever could be taken for something else is refused."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from openpyxl import Workbook
from openpyxl.styles import Font
from openpyxl.worksheet.formula import ArrayFormula

from builder.base.errors import ContentError
from builder.load.shape import Shape
from builder.load.xlsx_cells import xlsx_rows


@pytest.fixture
def read(tmp_path):
    """Heads, rows and faults of a sheet made of these rows, after ``change`` had its way with it."""

    def make(rows, change=None, sheet=""):
        book = Workbook()
        for row in rows:
            book.active.append(row)
        if change:
            change(book)
        book.save(tmp_path / "f.xlsx")
        found = xlsx_rows(tmp_path / "f.xlsx", "f.xlsx", Shape(sheet=sheet))
        return found.line, list(found.head), list(found.body), [str(problem) for problem in found.faults.problems()]

    return make


def refused(read, *arguments, **options):
    with pytest.raises(ContentError) as caught:
        read(*arguments, **options)
    return str(caught.value)


def test_cells_become_text_as_a_person_would_type_it(read):
    head = ["id", "whole", "half", "day", "time", "yes", "empty", "text"]
    row = ["d-1", 4.0, 0.5, date(2026, 11, 24), datetime.fromisoformat("2026-11-24T06:40"), True, None, " 007 "]
    assert read([head, row]) == (
        1, head, [(2, ["d-1", "4", "0.5", "2026-11-24", "2026-11-24T06:40", "true", "", "007"])], []
    )  # fmt: skip


@pytest.mark.parametrize(
    ("number", "form", "text"),
    [
        (123456789012345, "General", "123456789012345"),
        (123456789012345.0, "0.00E+00", "123456789012345"),
        (0.0000001, "General", "0.0000001"),
        (-2, "General", "-2"),
        (42, "000000", "000042"),
        (4200000, "0000", "4200000"),
    ],
)
def test_numbers_are_neither_scientific_nor_shortened(number, form, text, read):
    def change(book):
        book.active["A2"].number_format = form

    assert read([["serial"], [number]], change)[2] == [(2, [text])]


def test_a_number_too_long_to_be_exact_is_refused(read):
    assert read([["serial"], [1234567890123456]])[3] == [
        "f.xlsx:2: cell A2: a number of more than 15 digits; allowed: a cell with the format Text"
    ]


def test_a_value_that_is_struck_out_is_refused(read):
    """Whoever strikes a row out on paper or screen says that it does not count: common practice, no source."""

    def change(book):
        book.active["A2"].font = Font(strike=True)

    assert read([["result"], ["pass"], ["fail"]], change)[3] == [
        "f.xlsx:2: cell A2: a value that is struck out; allowed: a row that holds, or none"
    ]


@pytest.mark.parametrize(
    ("number", "form", "text"),
    [
        (0.179, "0.0%", "17.9 %"),
        (1, "0%;-0%", "100 %"),
        (0.179, '0.0"%"', "0.179"),
        (0.179, r"0.0\%", "0.179"),
    ],
)
def test_a_number_that_is_shown_a_hundredfold_is_read_as_it_is_seen(number, form, text, read):
    """ECMA-376 part 1, 18.8.31: a % in a format multiplies by a hundred unless it is quoted or escaped."""

    def change(book):
        book.active["A2"].number_format = form

    assert read([["found"], [number]], change)[2] == [(2, [text])]


def test_a_formula_without_result_and_an_error_are_refused(read):
    def change(book):
        book.active["A3"].value = ArrayFormula("A3:A3", "=SUM(1,2)")
        book.active["B3"].value = "#N/A"

    assert read([["id", "b"], ["=1+1", "x"], ["", ""]], change)[3] == [
        "f.xlsx:2: cell A2: a formula without its result; allowed: open, calculate and save, or type it",
        "f.xlsx:3: cell A3: a formula without its result; allowed: open, calculate and save, or type it",
        "f.xlsx:3: cell B3: the error #N/A; allowed: a value",
    ]


def test_a_formula_with_its_result_is_read(read, tmp_path):
    """The library writes no results, so one is put into the file by hand, as a spreadsheet saves it."""
    from zipfile import ZipFile

    read([["id"], ["=1+1"], ['=""']])
    with ZipFile(tmp_path / "f.xlsx") as old:
        parts = {name: old.read(name) for name in old.namelist()}
    sheet = parts["xl/worksheets/sheet1.xml"]
    assert sheet.count(b"<v />") + sheet.count(b"<v></v>") + sheet.count(b"<v/>") == 2
    for empty in (b"<v />", b"<v></v>", b"<v/>"):
        sheet = sheet.replace(empty, b"<v>2</v>", 1)
    sheet = sheet.replace(b'<c r="A3">', b'<c r="A3" t="str">')
    parts["xl/worksheets/sheet1.xml"] = sheet
    with ZipFile(tmp_path / "f.xlsx", "w") as new:
        for name, data in parts.items():
            new.writestr(name, data)
    found = xlsx_rows(tmp_path / "f.xlsx", "f.xlsx")
    assert (list(found.body), found.faults.problems()) == ([(2, ["2"])], [])


def test_merged_cells_are_refused_with_their_rows(read):
    def change(book):
        book.active.merge_cells("A2:A3")
        book.active.merge_cells("B3:C3")

    assert refused(read, [["id", "b", "c"], [1, 2, 3], [4, 5, 6]], change) == (
        "f.xlsx:2: merged cells A2:A3; allowed: one cell for each value, or merged: each in maps.yaml\n"
        "f.xlsx:3: merged cells B3:C3; allowed: one cell for each value, or merged: each in maps.yaml"
    )


def test_heads_may_stand_below_empty_rows_and_beside_empty_columns(read):
    line, head, rows, faults = read([[], [], ["id", None, "two\nlines"], [], ["a", None, "b"], ["c", "x", "d"]])
    assert (line, head, rows) == (3, ["id", "two lines"], [(5, ["a", "b"]), (6, ["c", "d"])])
    assert faults == ["f.xlsx:6: 'x' in column 2, which has no head; allowed: a head above each value"]


def test_a_value_right_of_the_heads_is_refused(read):
    assert read([["id"], ["a", None, "x"]])[3] == [
        "f.xlsx:2: cell C2: a value beside the columns with heads; allowed: a head above each value"
    ]


def test_the_first_sheet_is_read_unless_another_is_named(read):
    def change(book):
        book.create_sheet("Other").append(["b"])

    assert read([["a"]], change)[1] == ["a"]
    assert read([["a"]], change, sheet="Other")[1] == ["b"]
    assert refused(read, [["a"]], change, sheet="Othr") == (
        "f.xlsx:1: no sheet 'Othr'; allowed: sheets Sheet, Other; nearest: Other"
    )


def test_an_empty_sheet_has_no_heads(read):
    assert refused(read, []) == "f.xlsx:1: no column heads; allowed: a first row with the column heads"


@pytest.mark.parametrize("data", [b"", b"id,model\n", b"PK\x03\x04 cut off", b"\xd0\xcf\x11\xe0 an older form"])
def test_what_is_no_workbook_is_refused(data, tmp_path):
    (tmp_path / "f.xlsx").write_bytes(data)
    with pytest.raises(ContentError) as caught:
        xlsx_rows(tmp_path / "f.xlsx", "f.xlsx")
    assert str(caught.value) == (
        "f.xlsx:1: not a workbook that can be read; allowed: a workbook saved as .xlsx without a password"
    )


def test_a_workbook_that_unpacks_to_too_much_is_refused(read, monkeypatch):
    monkeypatch.setattr("builder.load.xlsx_parts.BIGGEST_UNPACKED", 1000)
    assert "bytes unpacked; allowed: at most 1000 bytes" in refused(read, [["id"]])
