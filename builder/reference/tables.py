"""Reads the reference tables and refuses a malformed one; each table is parsed once, at first need.

A table is a CSV file whose head is lines of ``# key: value``: the source (see ``sources.py``), the unit of each column
of numbers (``unit.<column>``) and the names of the columns of text (``text``). The first column is ``id``. Columns that
many tables share: ``not_read`` lists the columns of that row whose value nobody has read in the source, ``read_once``
those that only one copy of it confirms, ``revised`` those for which the source has a newer number that nobody has read;
``locator`` says where the row stands, and ``note`` has remarks parted by semicolons; ``twa_ppm, stel_ppm: remark``
concerns these columns alone. A row with a day in ``from`` replaces earlier rows of its id from that day on, column by
column where it has a value.
"""

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import field
from datetime import date
from functools import cache
from operator import itemgetter
from pathlib import Path
from types import MappingProxyType
from typing import Final

from builder.base.nearest import nearest
from builder.base.quantity import UNITS
from builder.base.record import dataclass
from builder.reference.errors import TableError, UnknownNameError
from builder.reference.sources import EVIDENCE, OPTIONAL, REQUIRED, Source

_FOLDER: Final = Path(__file__).with_name("tables")
TABLES: Final = tuple(sorted(item.name.removesuffix(".csv") for item in _FOLDER.iterdir()))
"""Every table that ships: each file of the folder is one, and there is no other list of them."""

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
    later: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)
    """Row id -> the rows that count from a day on, by that day."""

    def text(self, row_id: str, column: str) -> str:
        """The cell as printed, empty where there is no such row, column or value."""
        return self.rows.get(row_id, {}).get(column, "")

    def series(self, row_id: str, column: str) -> Iterator[tuple[date | None, Row]]:
        """The rows that give this cell a value, each with the day from which it does, in the order of those days."""
        if self.text(row_id, column):
            yield None, self.rows[row_id]
        for row in self.later.get(row_id, ()):
            if row.get(column, ""):
                yield date.fromisoformat(row["from"]), row

    def revised(self, row_id: str, column: str) -> bool:
        """Whether the source has a newer number there that nobody has read."""
        return column in parts(self.text(row_id, "revised"))

    def note(self, row: Row, column: str) -> str:
        """The remarks of a row that concern this column."""
        kept: list[str] = []
        for remark in row.get("note", "").split("; "):
            scoped = _SCOPED.fullmatch(remark)
            columns = scoped.group(1).split(", ") if scoped else []
            if scoped and all(name in self.units for name in columns):
                if column in columns:
                    kept.append(scoped.group(2))
            elif remark:
                kept.append(remark)
        return "; ".join(kept)


def was_read(row: Row, column: str) -> bool:
    """Whether somebody has read this value in the source or a copy of it."""
    return column not in parts(row.get("not_read", ""))


def was_read_once(row: Row, column: str) -> bool:
    """Whether one copy of the source is all that confirms this value."""
    return column in parts(row.get("read_once", ""))


@cache
def read_table(name: str) -> ReferenceTable:
    """The table of that name.

    :raises UnknownNameError: when no such table ships.
    :raises TableError: when it is malformed.
    """
    if name not in TABLES:
        raise UnknownNameError("source", name, nearest(name, TABLES))
    return parse_table(name, _FOLDER.joinpath(f"{name}.csv").read_text(encoding="utf-8"))


def parse_table(name: str, text: str) -> ReferenceTable:
    """A table from the text of its file, every rule of the form checked.

    :raises TableError: when it is malformed; names table and line.
    """
    lines = text.splitlines()
    height = next((number for number, line in enumerate(lines) if not line.startswith("#")), len(lines))
    head = _read_head(name, lines[:height])
    units = {key.removeprefix("unit."): value for key, value in head.items() if key.startswith("unit.")}
    rows: dict[str, Row] = {}
    later: dict[str, tuple[Row, ...]] = {}
    taken: set[tuple[str, str]] = set()
    for line, row in _read_rows(name, lines[height:], height + 1, {*units, *head["text"].split()}):
        key = (row["id"], row.get("from", ""))
        if key in taken:
            raise TableError(name, line, f"id {row['id']!r} is taken twice")
        taken.add(key)
        _check_row(name, line, row, units)
        if key[1]:
            later[key[0]] = tuple(sorted((*later.get(key[0], ()), row), key=itemgetter("from")))
        else:
            rows[key[0]] = MappingProxyType(row)
    source = Source(**{key: head[key] for key in (*REQUIRED, *OPTIONAL) if key in head})
    return ReferenceTable(source=source, units=MappingProxyType(units), rows=MappingProxyType(rows), later=later)


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
    for marked in ("not_read", "read_once"):
        for column in parts(row.get(marked, "")):
            if column not in units or not row[column]:
                raise TableError(name, line, f"{marked} names {column!r}, which has no value here")
    for column in parts(row.get("revised", "")):
        if column not in units or row[column]:
            raise TableError(name, line, f"revised names {column!r}, which is no column without a value here")
    if row.get("from"):
        _check_day(name, line, row["from"])


def _check_day(name: str, line: int, text: str) -> None:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise TableError(name, line, f"from {text!r} is no day, as in 2026-04-05") from None
    if day.isoformat() != text:
        raise TableError(name, line, f"from {text!r} is no day, as in 2026-04-05")


def parts(text: str) -> tuple[str, ...]:
    """The parts of a cell that holds several, parted by semicolons."""
    return tuple(part for part in text.split(";") if part)
