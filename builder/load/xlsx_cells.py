"""A sheet of an Excel workbook read into rows of text. The only import of the workbook library.

What a cell shows and what it holds can differ. Dates become ISO 8601, whole numbers lose their point and never turn
scientific; whatever a reader could take for something else is refused with its cell: errors, formulas nobody worked
out, merged cells, numbers too long to be exact.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zipfile import BadZipFile

from builder.base.errors import ContentError, Problem, refusal
from builder.base.fault_kinds import Kind
from builder.base.nearest import nearest
from builder.base.unseen import in_sight, unseen
from builder.base.where import Where
from builder.load.rows import RowFaults, TableRows, tidy_head, under_groups, under_heads
from builder.load.shape import PLAIN, Shape, heads_at
from builder.load.xlsx_parts import LAST_ROW, SpecialCells, judge_size, special_cells

if TYPE_CHECKING:
    from openpyxl.reader.excel import ExcelReader
    from openpyxl.workbook import Workbook

MOST_CELLS = 2_000_000
"""Cells of a sheet that are gone through, among them the empty ones before the last of each row."""
EXACT = 10**15
"""Workbooks keep fifteen digits of a number."""
ZEROS = re.compile(r"0{2,}")
LITERAL = re.compile(r'"[^"]*"|\\.')
"""Parts of a format that are printed as they stand."""
"""Number format of a number shown with leading zeros."""


UNMERGED = "one cell for each value, or merged: each in maps.yaml"

Noted = list[tuple[str, str]]
"""What was found in the cells of a row, and what is allowed."""


def xlsx_rows(path: Path, file: str, shape: Shape = PLAIN) -> TableRows:
    """The rows of one sheet, the first unless the shape names another; what stands above the heads may be anything.

    :raises ContentError: when it is no workbook, has no such sheet, merged cells, or missing or doubled heads.
    """
    with _readable(path, file) as reader:
        shown = _sheet_of(reader.wb, file, shape.sheet)
        special = special_cells(path, _part_of(reader, shown.title))
        rows = _texts(shown, special.formulas, file)
    line, _ = heads_at(((at, cells) for at, cells, _ in rows), shape)
    if shape.fills_merged:
        _fill_merged(special, rows)
    else:
        _refuse_merged(special, line + shape.two_rows, file)
    upper = next((cells for at, cells, _ in rows if shape.two_rows and at == line - 1), [])
    rows = [row for row in rows if row[0] >= line]
    faults = RowFaults(file)
    for at, _, notes in rows:
        for found, allowed in notes:
            faults.form(at, found, allowed)
    head = tidy_head(under_groups(upper, rows[0][1] if rows and rows[0][0] == line else []), file, line)
    body = under_heads(head, _padded([row[:2] for row in rows[1:] if any(row[1])], len(head), faults), faults)
    return TableRows(file, line, tuple(name for name in head if name), body, faults)


def cells_of(path: Path, file: str, sheet: str) -> tuple[list[tuple[int, list[str]]], int]:
    """The texts of every row of a sheet, whatever they are, merged ones in each of their rows; the last merged row.

    The first sheet unless another is named.

    :raises ContentError: when it is no workbook or has no such sheet.
    """
    with _readable(path, file) as reader:
        shown = _sheet_of(reader.wb, file, sheet)
        special = special_cells(path, _part_of(reader, shown.title))
        rows = _texts(shown, frozenset(), file)
    _fill_merged(special, rows)
    return [(line, cells) for line, cells, _ in rows if any(cells)], max((one[2] for one in special.merged), default=0)


def sheet_names(path: Path, file: str) -> tuple[str, ...]:
    """The names of the sheets, in their order.

    :raises ContentError: when it is no workbook.
    """
    with _readable(path, file) as reader:
        return tuple(sheet.title for sheet in reader.wb.worksheets)


@contextmanager
def _readable(path: Path, file: str) -> Iterator[ExcelReader]:
    """The workbook, closed in the end; whatever the library stumbles over makes it no workbook."""
    try:
        judge_size(path, file)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the library warns of charts and lists it does not keep
            reader = _opened(path)
            try:
                yield reader
            finally:
                reader.wb.close()
    except (BadZipFile, OSError, KeyError, ValueError, TypeError, AttributeError, IndexError, SyntaxError) as error:
        allowed = "a workbook saved as .xlsx without a password"
        raise refusal(Kind.FILE_UNREADABLE, Where(file, 1), "not a workbook that can be read", allowed) from error


def _opened(path: Path) -> ExcelReader:
    from openpyxl.reader.excel import ExcelReader  # noqa: PLC0415 - loaded at first need

    reader = ExcelReader(path, read_only=True, data_only=True)
    reader.read()
    return reader


def _sheet_of(book: Workbook, file: str, name: str) -> Any:
    for sheet in book.worksheets:
        if not name or sheet.title == name:
            return sheet
    titles = [sheet.title for sheet in book.worksheets]
    found = f"no sheet {name!r}" if name else "no sheet of cells"
    raise refusal(Kind.NAME_UNKNOWN, Where(file, 1), found, "sheets " + ", ".join(titles), nearest(name, titles))


def _part_of(reader: ExcelReader, title: str) -> str:
    """Name of the part of the workbook that holds a sheet."""
    return str(next(found.target for sheet, found in reader.parser.find_sheets() if sheet.name == title))


def _fill_merged(special: SpecialCells, rows: list[tuple[int, list[str], Noted]]) -> None:
    """What stands in cells merged over rows counts in each of these, in their first column."""
    texts = {line: cells for line, cells, _ in rows}
    for top, left, bottom, _ in special.merged:
        cells = texts.get(top, [])
        for line in range(top + 1, min(bottom, max(texts, default=0)) + 1):
            below = texts.get(line)
            if below is not None and len(cells) >= left:
                below += [""] * (left - len(below))
                below[left - 1] = cells[left - 1]


def _refuse_merged(special: SpecialCells, heads: int, file: str) -> None:
    """Merged cells are refused from the row of the heads on."""
    merged = [(top, coordinates) for top, _, bottom, coordinates in special.merged if bottom >= heads]
    if merged:
        raise ContentError(
            Problem(Where(file, row), f"merged cells {coordinates}", UNMERGED, kind=Kind.TABLE_FORM)
            for row, coordinates in merged
        )


def _texts(sheet: Any, formulas: frozenset[tuple[int, int]], file: str) -> list[tuple[int, list[str], Noted]]:
    """Every row that is not empty: its number, its texts, and what is wrong with them."""
    made: list[tuple[int, list[str], Noted]] = []
    count = 0
    sheet.reset_dimensions()
    for line, row in enumerate(sheet.iter_rows(max_row=LAST_ROW), start=1):
        count += len(row)
        if count > MOST_CELLS:
            found = f"more than {MOST_CELLS} cells, empty ones among them"
            raise refusal(Kind.TABLE_FORM, Where(file, line), found, "rows no wider than their column heads")
        noted: Noted = []
        cells = [_text(cell, line, n, formulas, noted) for n, cell in enumerate(row, start=1)]
        if any(cells) or noted:
            made.append((line, cells, noted))
    return made


def _text(cell: Any, line: int, column: int, formulas: frozenset[tuple[int, int]], noted: Noted) -> str:
    value = cell.value
    if value is None:
        if (line, column) in formulas and cell.data_type == "n":  # an empty text would be of another type
            found = f"{_name(line, column)}: a formula without its result"
            noted.append((found, "open, calculate and save, or type it"))
        return ""
    if cell.font.strike:
        noted.append((f"{_name(line, column)}: a value that is struck out", "a row that holds, or none"))
    if cell.data_type == "e":
        noted.append((f"{_name(line, column)}: the error {value}", "a value"))
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(timespec="minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, int | float):
        if abs(value) >= EXACT:
            noted.append((f"{_name(line, column)}: a number of more than 15 digits", "a cell with the format Text"))
            return ""
        if "%" in LITERAL.sub("", cell.number_format):  # as it is seen: no number of %vol or %LEL
            return f"{(Decimal(repr(value)) * 100).normalize():f} %"
        return _digits(value, cell.number_format)
    hidden = unseen(str(value))
    if hidden:
        found, allowed = in_sight(hidden)
        noted.append((f"{_name(line, column)}: {found}", allowed))
    return str(value).strip()


def _digits(value: float, form: str) -> str:
    if value == int(value):
        return str(int(value)).zfill(len(form) if ZEROS.fullmatch(form) else 0)
    return format(Decimal(repr(value)), "f")


def _name(line: int, column: int) -> str:
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - loaded at first need

    return f"cell {get_column_letter(column)}{line}"


def _padded(rows: list[tuple[int, list[str]]], width: int, faults: RowFaults) -> Iterator[tuple[int, list[str]]]:
    """Rows as wide as the heads; the library cuts off empty cells at the end."""
    for line, cells in rows:
        if any(cells[width:]):
            faults.form(
                line, f"{_name(line, len(cells))}: a value beside the columns with heads", "a head above each value"
            )
        yield line, (cells + [""] * width)[:width]
