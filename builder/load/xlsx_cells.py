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
from zipfile import BadZipFile, ZipFile

from builder.base.errors import ContentError, Problem
from builder.base.nearest import nearest
from builder.base.where import Where
from builder.load.rows import RowFaults, TableRows, tidy_head, under_heads

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

BIGGEST_UNPACKED = 200_000_000
"""Bytes a workbook may have once unpacked."""
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
        _judge_size(path, file)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the library warns of charts and lists it does not keep
            formulas = _formulas(path, file, sheet)
            rows = _texts(path, file, sheet, formulas, faults)
    except (BadZipFile, OSError, KeyError, ValueError, TypeError, AttributeError, IndexError, SyntaxError) as error:
        allowed = "a workbook saved as .xlsx without a password"
        raise ContentError([Problem(Where(file, 1), "not a workbook that can be read", allowed)]) from error
    line, cells = rows[0] if rows else (1, [])
    head = tidy_head(cells, file, line)
    body = under_heads(head, _padded(rows[1:], len(head), faults), faults)
    return TableRows(file, line, tuple(name for name in head if name), body, faults)


def _judge_size(path: Path, file: str) -> None:
    with ZipFile(path) as archive:
        size = sum(part.file_size for part in archive.infolist())
    if size > BIGGEST_UNPACKED:
        raise ContentError([Problem(Where(file, 1), f"{size} bytes unpacked", f"at most {BIGGEST_UNPACKED} bytes")])


def _opened(path: Path, **options: bool) -> Workbook:
    from openpyxl import load_workbook  # noqa: PLC0415 - loaded at first need

    return load_workbook(path, **options)


def _sheet_of(book: Workbook, file: str, name: str | None) -> Any:
    for sheet in book.worksheets:
        if name is None or sheet.title == name:
            return sheet
    titles = [sheet.title for sheet in book.worksheets]
    found = f"no sheet {name!r}" if name else "no sheet of cells"
    raise ContentError([Problem(Where(file, 1), found, "sheets " + ", ".join(titles), nearest(name or "", titles))])


def _formulas(path: Path, file: str, name: str | None) -> frozenset[tuple[int, int]]:
    """Cells that hold a formula; merged cells, which only this way of reading knows of, are refused."""
    book = _opened(path)
    sheet = _sheet_of(book, file, name)
    merged = sorted(sheet.merged_cells.ranges, key=lambda part: (part.min_row, part.min_col))
    if merged:
        raise ContentError(
            Problem(Where(file, part.min_row), f"merged cells {part.coord}", "one cell for each value")
            for part in merged
        )
    found = frozenset(
        (cell.row, cell.column) for row in sheet.iter_rows() for cell in row if cell.value and cell.data_type == "f"
    )
    book.close()
    return found


def _texts(
    path: Path, file: str, name: str | None, formulas: frozenset[tuple[int, int]], faults: RowFaults
) -> list[tuple[int, list[str]]]:
    book = _opened(path, read_only=True, data_only=True)
    made: list[tuple[int, list[str]]] = []
    try:
        sheet = _sheet_of(book, file, name)
        sheet.reset_dimensions()
        for line, row in enumerate(sheet.iter_rows(), start=1):
            cells = [_text(cell, line, n, formulas, faults) for n, cell in enumerate(row, start=1)]
            if any(cells):
                made.append((line, cells))
    finally:
        book.close()
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
