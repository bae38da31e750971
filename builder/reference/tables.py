"""Reads the reference tables and refuses a malformed one; each table is parsed once, at first need.

A table is a CSV file whose head is lines of ``# key: value``: the source (see ``sources.py``), the unit of each column
of numbers (``unit.<column>``) and the names of the columns of text (``text``). The first column is ``id``. Columns that
many tables share: ``not_read`` lists the columns of that row whose value nobody has read in the source, ``locator``
says where the row stands, and ``note`` has remarks parted by semicolons; ``twa_ppm, stel_ppm: remark`` concerns these
columns alone.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Final

from builder.base.nearest import nearest
from builder.base.quantity import UNITS
from builder.reference.errors import TableError, UnknownNameError
from builder.reference.sources import EVIDENCE, OPTIONAL, REQUIRED, Source

TABLES: Final = (
    "gases",
    "iec-60079-20-1-2010",
    "nfpa-497-2008",
    "niosh-pocket-guide-2005",
    "osha-29cfr1910-subpart-z",
    "uk-eh40-2005",
    "eu-ioelv",
    "chemicals-1-5-2-elements",
    "nist-ionisation-energy",
    "vapour-pressure-perry-2007",
    "ciaaw-atomic-weights-2021",
    "rules",
    "places",
)
"""Every table that ships, by file name."""

NO_UNIT: Final = "1"
"""Unit of a column of plain numbers, such as coefficients of a fit."""

UNIT_IN_ROW: Final = "column unit"
"""Unit of a column whose rows each name their own unit in the column ``unit``."""

DECIMAL: Final = re.compile(r"-?\d+(\.\d+)?")
_HEAD: Final = re.compile(r"# ([a-z_]+(?:\.[a-z_]+)?): (\S.*)")
_SCOPED: Final = re.compile(r"([a-z_]+(?:, [a-z_]+)*): (.+)")

Row = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceTable:
    """One source as data: what it prints, as text, by row id and column."""

    source: Source
    """The citation at its head."""
    units: Mapping[str, str]
    """Column of numbers -> unit as spelled in ``builder.base.quantity.UNITS``, ``NO_UNIT`` or ``UNIT_IN_ROW``."""
    rows: Mapping[str, Row]
    """Row id -> column -> text; an empty text means that the source has no value."""

    def text(self, row_id: str, column: str) -> str:
        """The cell as printed, empty where there is no such row, column or value."""
        return self.rows.get(row_id, {}).get(column, "")

    def was_read(self, row_id: str, column: str) -> bool:
        """Whether somebody has read this value in the source or a copy of it."""
        return column not in _parts(self.text(row_id, "not_read"))

    def note(self, row_id: str, column: str) -> str:
        """The remarks of the row that concern this column."""
        kept: list[str] = []
        for remark in self.text(row_id, "note").split("; "):
            scoped = _SCOPED.fullmatch(remark)
            columns = scoped.group(1).split(", ") if scoped else []
            if scoped and all(name in self.units for name in columns):
                if column in columns:
                    kept.append(scoped.group(2))
            elif remark:
                kept.append(remark)
        return "; ".join(kept)


@cache
def read_table(name: str) -> ReferenceTable:
    """The table of that name.

    :raises UnknownNameError: when no such table ships.
    :raises TableError: when it is malformed.
    """
    if name not in TABLES:
        raise UnknownNameError("source", name, nearest(name, TABLES))
    return parse_table(name, files("builder.reference").joinpath("tables", f"{name}.csv").read_text(encoding="utf-8"))


def parse_table(name: str, text: str) -> ReferenceTable:
    """A table from the text of its file, every rule of the form checked.

    :raises TableError: when it is malformed; names table and line.
    """
    lines = text.splitlines()
    height = next((number for number, line in enumerate(lines) if not line.startswith("#")), len(lines))
    head = _read_head(name, lines[:height])
    units = {key.removeprefix("unit."): value for key, value in head.items() if key.startswith("unit.")}
    rows: dict[str, Row] = {}
    for line, row in _read_rows(name, lines[height:], height + 1, {*units, *head["text"].split()}):
        if row["id"] in rows:
            raise TableError(name, line, f"id {row['id']!r} is taken twice")
        _check_row(name, line, row, units)
        rows[row["id"]] = MappingProxyType(row)
    source = Source(**{key: head[key] for key in (*REQUIRED, *OPTIONAL) if key in head})
    return ReferenceTable(source=source, units=MappingProxyType(units), rows=MappingProxyType(rows))


def _read_head(name: str, lines: list[str]) -> dict[str, str]:
    head: dict[str, str] = {}
    for number, line in enumerate(lines, start=1):
        match = _HEAD.fullmatch(line)
        if not match:
            raise TableError(name, number, f"{line!r} is no head line of the form '# key: value'")
        key, value = match.group(1), match.group(2)
        if key in head:
            raise TableError(name, number, f"head line {key!r} stands twice")
        if key not in (*REQUIRED, *OPTIONAL, "text") and not key.startswith("unit."):
            raise TableError(name, number, f"head line {key!r} is not known")
        if key.startswith("unit.") and value not in (*UNITS, UNIT_IN_ROW, NO_UNIT):
            raise TableError(name, number, f"unit {value!r} is not known")
        head[key] = value
    missing = [key for key in (*REQUIRED, "text") if key not in head]
    if missing:
        raise TableError(name, len(lines), f"head lines missing: {', '.join(missing)}")
    if head["id"] != name:
        raise TableError(name, 1, f"id is {head['id']!r}")
    if head["evidence"] not in EVIDENCE:
        raise TableError(name, 1, f"evidence {head['evidence']!r} is none of {', '.join(EVIDENCE)}")
    return head


def _read_rows(name: str, lines: list[str], first: int, expected: set[str]) -> Iterator[tuple[int, dict[str, str]]]:
    reader = csv.reader(lines, strict=True)
    columns = next(reader, [])
    if set(columns) != expected or len(columns) != len(expected) or columns[0] != "id":
        raise TableError(name, first, f"columns {columns} do not match the head, which has {sorted(expected)}")
    for cells in reader:
        line = first + reader.line_num - 1
        if len(cells) != len(columns):
            raise TableError(name, line, f"{len(cells)} cells in {len(columns)} columns")
        yield line, dict(zip(columns, cells, strict=True))


def _check_row(name: str, line: int, row: dict[str, str], units: Mapping[str, str]) -> None:
    if not row["id"]:
        raise TableError(name, line, "the id is empty")
    for column, unit in units.items():
        if row[column] and not DECIMAL.fullmatch(row[column]):
            raise TableError(name, line, f"{column} {row[column]!r} is no decimal number")
        if unit == UNIT_IN_ROW and row["unit"] not in UNITS:
            raise TableError(name, line, f"unit {row['unit']!r} is not known")
    for column in _parts(row.get("not_read", "")):
        if column not in units or not row[column]:
            raise TableError(name, line, f"not_read names {column!r}, which has no value here")


def _parts(text: str) -> tuple[str, ...]:
    return tuple(part for part in text.split(";") if part)
