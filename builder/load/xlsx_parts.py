"""What a workbook is made of: looked at part by part before the workbook library builds anything from it."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import IO
from xml.etree.ElementTree import Element, iterparse
from zipfile import ZipFile

from builder.base.errors import ContentError, refusal
from builder.base.fault_kinds import Kind
from builder.base.record import dataclass
from builder.base.where import Where

BIGGEST_UNPACKED = 60_000_000
"""Bytes a workbook may have once unpacked."""
MOST_TAGS = 1_500_000
"""XML tags of all its sheets and texts; a cell with a value has four."""
MOST_OTHER_TAGS = 200_000
"""XML tags of everything else, such as styles, which takes far more memory a tag."""
LAST_ROW = 1_048_576
"""The last row that a sheet can have."""
ROW = re.compile(rb"<(?:\w+:)?row\b[^>]*?\sr\s*=\s*[\"']0*([0-9]{7,})")
CELLS = ("xl/worksheets/", "xl/sharedStrings")


@dataclass(frozen=True, slots=True)
class SpecialCells:
    """Cells that are more than their value."""

    formulas: frozenset[tuple[int, int]]
    """Row and column of each formula."""
    merged: tuple[tuple[int, int, int, str], ...]
    """First row, first column, last row and coordinates of merged cells, sorted."""


def judge_size(path: Path, file: str) -> None:
    """Refuse what would take too long or too much memory to read.

    :raises ContentError: with what is too much.
    """
    with ZipFile(path) as archive:
        size = sum(part.file_size for part in archive.infolist())
        if size > BIGGEST_UNPACKED:
            raise _refused(file, f"{size} bytes unpacked", f"at most {BIGGEST_UNPACKED} bytes")
        cells = other = 0
        for name in archive.namelist():
            if not name.endswith((".xml", ".rels")):
                continue
            data = archive.read(name)
            count = data.count(b"<")
            if name.startswith(CELLS):
                cells += count
                if any(int(found) > LAST_ROW for found in ROW.findall(data)):
                    raise _refused(file, "a row beyond the last that a sheet can have", f"rows up to {LAST_ROW}")
            else:
                other += count
        for count, most, what in ((cells, MOST_TAGS, "cells"), (other, MOST_OTHER_TAGS, "styles and settings")):
            if count > most:
                found = f"{count} marks for its {what}"
                raise _refused(file, found, f"at most {most}; paste the values alone into a new workbook")


def _refused(file: str, found: str, allowed: str) -> ContentError:
    return refusal(Kind.TOO_BIG, Where(file, 1), found, allowed)


def special_cells(path: Path, part: str) -> SpecialCells:
    """The formulas and merged cells of a sheet, read from its part of the workbook in one go.

    :raises ValueError: for rows that do not follow each other.
    """
    from openpyxl.utils.cell import coordinate_to_tuple, range_boundaries  # noqa: PLC0415 - loaded at first need

    formulas: set[tuple[int, int]] = set()
    merged: list[tuple[int, int, int, str]] = []
    with ZipFile(path) as archive, archive.open(part) as stream:
        row = 0
        for element in _rows_and_merges(stream):
            if _local(element) == "mergeCell":
                coordinates = element.get("ref", "")
                left, top, _, bottom = range_boundaries(coordinates)
                merged.append((top or 1, left or 1, bottom or LAST_ROW, coordinates))
                continue
            above, column = row, 0
            row = int(element.get("r", above + 1))
            if not above < row <= LAST_ROW:  # the library would pass over such a row without a word
                raise ValueError(row)
            for cell in element:
                at = cell.get("r")
                _, column = coordinate_to_tuple(at) if at else (row, column + 1)
                if any(_local(inner) == "f" for inner in cell):
                    formulas.add((row, column))
            element.clear()
    return SpecialCells(frozenset(formulas), tuple(sorted(merged)))


def _rows_and_merges(stream: IO[bytes]) -> Iterator[Element]:
    for _, element in iterparse(stream):  # noqa: S314 - as above
        if _local(element) in {"row", "mergeCell"}:
            yield element


def _local(element: Element) -> str:
    return str(element.tag).rpartition("}")[2]
