"""CSV read row by row; a file of any length takes no more memory than its longest row."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from builder.base.errors import ContentError, Problem
from builder.base.unseen import in_sight, unseen
from builder.base.where import Where
from builder.load.encoding import SEEN, UTF_8, odd_byte, other_encoding
from builder.load.rows import RowFaults, TableRows, tidy_head, under_heads

if TYPE_CHECKING:
    from _csv import Reader

LONGEST_LINE = 1_000_000
"""Characters a line may have."""
MOST_LINES = 300_000
"""Lines a file may have: a month of records of 10,000 units has 73,000."""
UNREADABLE = re.compile("[\0\ud800-\udfff]")
"""What stands for a byte that is not UTF-8, and the character no text has."""


def csv_file(path: Path, file: str) -> TableRows:
    """The rows of a CSV file.

    :raises ContentError: for a file that cannot be opened, and for missing or doubled heads.
    """
    faults = RowFaults(file)
    try:
        with path.open("rb") as stream:
            whole = other_encoding(stream.read(SEEN))
        if whole:
            raise ContentError([Problem(Where(file, 1), whole, UTF_8)])
        return csv_rows(_lines(path, faults), file, faults)
    except OSError as error:
        found = f"cannot be read: {error.strerror}"
        raise ContentError([Problem(Where(file, 1), found, "a readable file")]) from error


def csv_rows(lines: Iterable[str], file: str, faults: RowFaults | None = None) -> TableRows:
    """The rows of CSV lines; columns are parted by commas, or by semicolons where the first line has more of those.

    :raises ContentError: for missing or doubled heads.
    """
    noted = faults or RowFaults(file)
    source = iter(lines)
    first = next(source, "")
    mark = ";" if first.count(";") > first.count(",") else ","
    if first.count("\t") > max(first.count(","), first.count(";")):
        allowed = "cells parted by commas or semicolons, as a spreadsheet saves CSV"
        raise ContentError([Problem(Where(noted.file, 1), "cells parted by tabs", allowed)])
    reader = csv.reader(chain([first], source), delimiter=mark, strict=True)
    try:
        cells = next(reader, [])
    except csv.Error as error:
        raise ContentError([Problem(Where(file, reader.line_num), *_in_words(error))]) from error
    if noted.count:
        raise ContentError(noted.problems())
    head = tidy_head(cells, file, 1)
    body = under_heads(head, _body(reader, len(head), noted), noted)
    return TableRows(file, 1, tuple(name for name in head if name), body, noted)


def _unreadable(line: str) -> str:
    found = UNREADABLE.findall(line)[0]
    return odd_byte(ord(found) & 0xFF) if found != "\0" else "a character that no text has: U+0000"


def _body(reader: Reader, width: int, faults: RowFaults) -> Iterator[tuple[int, list[str]]]:
    start = reader.line_num + 1
    try:
        for cells in reader:
            line, start = start, reader.line_num + 1
            trimmed = [cell.strip() for cell in cells]
            if not any(trimmed):
                continue
            if len(trimmed) == width:
                yield line, trimmed
            else:
                faults.add(line, f"{len(trimmed)} cells", f"{width} cells, one a column head")
    except csv.Error as error:
        faults.add(reader.line_num, *_in_words(error))


def _in_words(error: csv.Error) -> tuple[str, str]:
    """What was found and what is allowed, for somebody who knows no parser."""
    allowed = 'a cell in quotes has one " at each end, and "" for a quote within it'
    if "unexpected end of data" in str(error):
        return "a cell in quotes that is never closed", allowed
    if "expected after" in str(error):
        return "text after the closing quote of a cell", allowed
    return f"not valid CSV: {error}", "RFC 4180 text"


def _lines(path: Path, faults: RowFaults) -> Iterator[str]:
    """Lines with whatever ends they have; a byte order mark is dropped, a byte that is not UTF-8 is a fault."""
    with path.open(encoding="utf-8-sig", errors="surrogateescape", newline="") as file:
        for number, line in enumerate(iter(lambda: file.readline(LONGEST_LINE), ""), start=1):
            if number > MOST_LINES:
                faults.add(number, f"more than {MOST_LINES} lines", "a file for each month or year of a longer log")
                return
            if len(line) == LONGEST_LINE:
                faults.add(number, f"a line of {LONGEST_LINE} characters or more", "a line for each row")
                return
            if (not line.isascii() or "\0" in line) and UNREADABLE.search(line):
                faults.add(number, _unreadable(line), UTF_8)
                yield UNREADABLE.sub("\ufffd", line)
                continue
            hidden = unseen(line.strip("\r\n"))
            if hidden:
                faults.add(number, *in_sight(hidden))
            yield line
