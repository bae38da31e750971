"""A table of which nothing is known yet: read as it is, with what its file was most likely saved as."""

import csv
from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from builder.base.errors import refusal
from builder.base.fault_kinds import Kind
from builder.base.record import dataclass
from builder.base.where import Where
from builder.load.encoding import SEEN, other_encoding
from builder.load.shape import ENCODINGS, SEPARATORS
from builder.load.xlsx_cells import cells_of, sheet_names

MOST_BYTES = 60_000_000
"""Bytes a file may have, as in a content folder."""
WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
"""How workbooks begin: packed as a ZIP, and the older compound files."""
MOST_ROWS = 50_000
"""Rows that are looked at."""
LAST_ASCII = 0x7F
FEW = 0.3
"""Share of letters beyond ASCII up to which a text is in a language written in Latin letters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnmappedTable:
    """The rows of a file, and how they were told apart."""

    rows: tuple[tuple[int, tuple[str, ...]], ...]
    """Number and trimmed cells of each row that is not empty."""
    sheet: str = ""
    """The sheet they are from, where there are several."""
    sheet_is_sure: bool = True
    """Whether it was named."""
    sheets: tuple[str, ...] = ()
    """All of them."""
    encoding: str = ""
    """Name of the encoding; empty for UTF-8 and workbooks."""
    encoding_is_sure: bool = True
    separator: str = ""
    """One of ``SEPARATORS`` where the row of heads does not tell by itself."""
    merged: int = 0
    """The last row with merged cells."""


def unmapped(path: Path, sheet: str = "", encoding: str = "") -> UnmappedTable:
    """The rows of a file.

    :param sheet: which of several; the first unless said.
    :param encoding: what it was saved as, where the user says so.
    :raises ContentError: when it cannot be read, or has no such sheet.
    """
    if path.exists() and not path.is_file():  # a pipe or a device, of which reading may never end
        raise refusal(Kind.FILE_UNREADABLE, Where(path.name, 1), "no plain file", "a readable file")
    if path.suffix.lower() == ".xlsx":
        return _workbook(path, sheet)
    try:
        data = path.read_bytes() if path.stat().st_size <= MOST_BYTES else None
    except OSError as error:
        raise refusal(
            Kind.FILE_UNREADABLE, Where(path.name, 1), f"cannot be read: {error.strerror}", "a readable file"
        ) from error
    if data is None:
        raise refusal(Kind.TOO_BIG, Where(path.name, 1), "too big a file", f"at most {MOST_BYTES} bytes")
    if data.startswith(WORKBOOKS):
        raise refusal(Kind.TABLE_FORM, Where(path.name, 1), "a workbook of another form", "one saved as .xlsx, or CSV")
    name, sure = (encoding, True) if encoding else _encoding(data)
    try:
        text = data.decode(ENCODINGS[name or "utf-8"])
    except UnicodeError as error:
        allowed = "--encoding with one of " + ", ".join(ENCODINGS)
        raise refusal(Kind.ENCODING, Where(path.name, 1), f"no text saved as {name or 'UTF-8'}", allowed) from error
    lines = text.splitlines(keepends=True)[:MOST_ROWS]
    mark = _mark(lines)
    told = mark == "tab" and path.suffix.lower() != ".tsv"
    rows = tuple(_rows(csv.reader(lines, delimiter=SEPARATORS[mark]), path.name))
    return UnmappedTable(rows=rows, encoding=name, encoding_is_sure=sure, separator=mark if told else "")


def _workbook(path: Path, sheet: str) -> UnmappedTable:
    names = sheet_names(path, path.name)
    found, merged = cells_of(path, path.name, sheet)
    rows = tuple((line, tuple(cells)) for line, cells in found[:MOST_ROWS])
    shown = sheet or (names[0] if len(names) > 1 else "")
    return UnmappedTable(rows=rows, sheet=shown, sheet_is_sure=bool(sheet), sheets=names, merged=merged)


def _encoding(data: bytes) -> tuple[str, bool]:
    """Name of the encoding, empty for UTF-8, and whether nothing else would read otherwise."""
    if other_encoding(data[:SEEN]):
        return ("utf-16" if data.startswith((BOM_UTF16_LE, BOM_UTF16_BE)) else "utf-16-le"), True
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        pass
    else:
        return "", True
    beyond = bytes(byte for byte in data if byte > LAST_ASCII)
    letters = len(beyond) + sum(chr(byte).isalpha() for byte in data if byte <= LAST_ASCII)
    same = beyond.decode("cp1252", "replace") == beyond.decode("cp1250", "replace")
    return "windows-1252", same and len(beyond) <= FEW * letters


def _mark(lines: list[str]) -> str:
    """What parts the cells: the mark by which most lines have the same number of several cells."""

    def weight(name: str) -> tuple[int, int]:
        widths = Counter(line.count(SEPARATORS[name]) for line in lines if line.strip())
        width, count = max(((w, n) for w, n in widths.items() if w), key=lambda one: (one[1], one[0]), default=(0, 0))
        return count, width

    return max(SEPARATORS, key=weight)


def _rows(reader: Iterable[list[str]], file: str) -> list[tuple[int, tuple[str, ...]]]:
    made: list[tuple[int, tuple[str, ...]]] = []
    start = 1
    source = iter(reader)
    try:
        for cells in source:
            trimmed = tuple(cell.strip() for cell in cells)
            if any(trimmed):
                made.append((start, trimmed))
            start = getattr(reader, "line_num", start) + 1
    except csv.Error as error:
        raise refusal(Kind.TABLE_FORM, Where(file, start), f"not valid CSV: {error}", "RFC 4180 text") from error
    return made
