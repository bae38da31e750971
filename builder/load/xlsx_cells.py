"""A sheet of an Excel workbook read into rows of text. The only import of the workbook library.

What a cell shows and what it holds can differ. Dates become ISO 8601, whole numbers lose their point and never turn
scientific; whatever a reader could take for something else is refused with its cell: errors, formulas nobody worked
out, merged cells, numbers too long to be exact.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zipfile import BadZipFile

from builder.base.errors import ContentError, Problem
from builder.base.nearest import nearest
from builder.base.unseen import in_sight, unseen
from builder.base.where import Where
from builder.load.rows import RowFaults, TableRows, tidy_head, under_heads
from builder.load.xlsx_parts import LAST_ROW, judge_size, special_cells

if TYPE_CHECKING:
    from openpyxl.reader.excel import ExcelReader
    from openpyxl.workbook import Workbook

MOST_CELLS = 2_000_000
"""Cells of a sheet that are gone through, among them the empty ones before the last of each row."""
EXACT = 10**15
"""Workbooks keep fifteen digits of a number."""
ZEROS = re.compile(r"0{2,}")
"""Number format of a number shown with leading zeros."""


def xlsx_rows(path: Path, file: str, sheet: str | None = None) -> TableRows:
    """The rows of one sheet, the first unless ``sheet`` names another; heads are in the first row that is not empty.

    :raises ContentError: when it is no workbook, has no such sheet, merged cells, or missing or doubled heads.
    """
    faults = RowFaults(file)
    try:
        judge_size(path, file)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the library warns of charts and lists it does not keep
            reader = _opened(path)
            try:
                shown = _sheet_of(reader.wb, file, sheet)
                rows = _texts(shown, _formulas(path, _part_of(reader, shown.title), file), faults)
            finally:
                reader.wb.close()
    except (BadZipFile, OSError, KeyError, ValueError, TypeError, AttributeError, IndexError, SyntaxError) as error:
        allowed = "a workbook saved as .xlsx without a password"
        raise ContentError([Problem(Where(file, 1), "not a workbook that can be read", allowed)]) from error
    line, cells = rows[0] if rows else (1, [])
    head = tidy_head(cells, file, line)
    body = under_heads(head, _padded(rows[1:], len(head), faults), faults)
    return TableRows(file, line, tuple(name for name in head if name), body, faults)


def _opened(path: Path) -> ExcelReader:
    from openpyxl.reader.excel import ExcelReader  # noqa: PLC0415 - loaded at first need

    reader = ExcelReader(path, read_only=True, data_only=True)
    reader.read()
    return reader


def _sheet_of(book: Workbook, file: str, name: str | None) -> Any:
    for sheet in book.worksheets:
        if name is None or sheet.title == name:
            return sheet
    titles = [sheet.title for sheet in book.worksheets]
    found = f"no sheet {name!r}" if name else "no sheet of cells"
    raise ContentError([Problem(Where(file, 1), found, "sheets " + ", ".join(titles), nearest(name or "", titles))])


def _part_of(reader: ExcelReader, title: str) -> str:
    """Name of the part of the workbook that holds a sheet."""
    return str(next(found.target for sheet, found in reader.parser.find_sheets() if sheet.name == title))


def _formulas(path: Path, part: str, file: str) -> frozenset[tuple[int, int]]:
    """Cells that hold a formula; merged cells are refused."""
    found = special_cells(path, part)
    if found.merged:
        raise ContentError(
            Problem(Where(file, row), f"merged cells {coordinates}", "one cell for each value")
            for row, coordinates in found.merged
        )
    return found.formulas


def _texts(sheet: Any, formulas: frozenset[tuple[int, int]], faults: RowFaults) -> list[tuple[int, list[str]]]:
    made: list[tuple[int, list[str]]] = []
    count = 0
    sheet.reset_dimensions()
    for line, row in enumerate(sheet.iter_rows(max_row=LAST_ROW), start=1):
        count += len(row)
        if count > MOST_CELLS:
            found = f"more than {MOST_CELLS} cells, empty ones among them"
            raise ContentError([Problem(Where(faults.file, line), found, "rows no wider than their column heads")])
        cells = [_text(cell, line, n, formulas, faults) for n, cell in enumerate(row, start=1)]
        if any(cells):
            made.append((line, cells))
    return made


def _text(cell: Any, line: int, column: int, formulas: frozenset[tuple[int, int]], faults: RowFaults) -> str:
    value = cell.value
    if value is None:
        if (line, column) in formulas and cell.data_type == "n":  # an empty text would be of another type
            faults.add(
                line, f"{_name(line, column)}: a formula without its result", "open, calculate and save, or type it"
            )
        return ""
    if cell.data_type == "e":
        faults.add(line, f"{_name(line, column)}: the error {value}", "a value")
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(timespec="minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, int | float):
        if abs(value) >= EXACT:
            faults.add(line, f"{_name(line, column)}: a number of more than 15 digits", "a cell with the format Text")
            return ""
        return _digits(value, cell.number_format)
    hidden = unseen(str(value))
    if hidden:
        found, allowed = in_sight(hidden)
        faults.add(line, f"{_name(line, column)}: {found}", allowed)
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
            faults.add(
                line, f"{_name(line, len(cells))}: a value beside the columns with heads", "a head above each value"
            )
        yield line, (cells + [""] * width)[:width]
