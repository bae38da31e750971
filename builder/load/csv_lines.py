"""CSV read row by row; a file of any length takes no more memory than its longest row."""

from __future__ import annotations

import csv
import re
from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import chain, islice
from operator import itemgetter
from pathlib import Path
from typing import TYPE_CHECKING

from builder.base.errors import ContentError, refusal
from builder.base.fault_kinds import Kind
from builder.base.unseen import in_sight, unseen
from builder.base.where import Where
from builder.load.encoding import SEEN, UTF_8, odd_byte, other_encoding
from builder.load.rows import RowFaults, TableRows, tidy_head, under_groups, under_heads
from builder.load.shape import ENCODINGS, FIRST_ROWS, PLAIN, SEPARATORS, Shape, heads_at

if TYPE_CHECKING:
    from _csv import Reader

LONGEST_LINE = 1_000_000
"""Characters a line may have."""
MOST_LINES = 300_000
"""Lines a file may have: a month of records of 10,000 units has 73,000."""
LOST = "\ufffd"
"""Stands for what a decoder could not read."""
MOST_IN_FOOTER = 2
"""Values of a footer that has fewer cells than there are heads; a row of data has three at least."""
UNREADABLE = re.compile("[\0\ud800-\udfff]")
"""What stands for a byte that is not UTF-8, and the character no text has."""


def csv_file(path: Path, file: str, shape: Shape = PLAIN) -> TableRows:
    """The rows of a file of separated cells.

    :raises ContentError: for a file that cannot be opened, and for missing or doubled heads.
    """
    faults = RowFaults(file)
    try:
        with path.open("rb") as stream:
            _judge_encoding(stream.read(SEEN), shape.encoding, file)
        if path.suffix == ".tsv" and not shape.separator:
            shape = replace(shape, separator="tab")
        return csv_rows(_lines(path, faults, shape.encoding), file, faults, shape)
    except OSError as error:
        found = f"cannot be read: {error.strerror}"
        raise refusal(Kind.FILE_UNREADABLE, Where(file, 1), found, "a readable file") from error


def _judge_encoding(start: bytes, encoding: str, file: str) -> None:
    """Refuse what is plainly saved otherwise than said.

    :raises ContentError: with what it is.
    """
    other, wide = other_encoding(start), encoding.startswith("utf-16")
    fit = "utf-16" if start.startswith((BOM_UTF16_LE, BOM_UTF16_BE)) else "utf-16-le"
    if other and encoding != fit:
        found = f"{other}, where maps.yaml has encoding: {encoding}" if encoding else other
        raise refusal(Kind.ENCODING, Where(file, 1), found, f"encoding: {fit} in maps.yaml, or {UTF_8}")
    if wide and not other:
        raise refusal(Kind.ENCODING, Where(file, 1), f"no text saved as UTF-16, where maps.yaml has {encoding}", UTF_8)


def csv_rows(lines: Iterable[str], file: str, faults: RowFaults | None = None, shape: Shape = PLAIN) -> TableRows:
    """The rows of CSV lines; columns are parted by what the shape says, else as the row of heads has it.

    :raises ContentError: for missing or doubled heads.
    """
    noted = faults or RowFaults(file)
    source = iter(lines)
    top = list(islice(source, max(FIRST_ROWS, shape.line) if shape.wanted or shape.line else 1))
    mark, at = _heads(top, shape)
    if mark == "\t" and not shape.separator:
        allowed = "cells parted by commas or semicolons, or separator: tab in maps.yaml"
        raise refusal(Kind.TABLE_FORM, Where(noted.file, at), "cells parted by tabs", allowed)
    first = at - shape.two_rows
    reader = csv.reader(chain(top[first - 1 :], source), delimiter=mark, strict=True)
    try:
        cells = under_groups(next(reader, []) if shape.two_rows else [], next(reader, []))
    except csv.Error as error:
        where = Where(file, reader.line_num + first - 1)
        raise refusal(Kind.TABLE_FORM, where, *_in_words(error, mark)) from error
    if noted.count:
        raise ContentError(noted.problems())
    head = tidy_head(cells, file, at)
    body = under_heads(head, _body(reader, (len(head), shape.footers), noted, first - 1, mark), noted)
    return TableRows(file, at, tuple(name for name in head if name), body, noted)


def _heads(top: list[str], shape: Shape) -> tuple[str, int]:
    """What parts the cells, and the line of the heads."""
    marks = [SEPARATORS[shape.separator]] if shape.separator else [",", ";", "\t"]
    at, hits = shape.line or 1, 0
    if shape.wanted and not shape.line:
        mark, at, hits = max(((mark, *heads_at(_roughly(top, mark), shape)) for mark in marks), key=itemgetter(2))
    if not hits:
        mark = max(marks, key=top[at - 1].count) if len(top) >= at else marks[0]
    return mark, at


def _roughly(top: list[str], mark: str) -> Iterator[tuple[int, list[str]]]:
    """The rows of some first lines, up to one that is no sound CSV: a title may be anything."""
    reader = csv.reader(top, delimiter=mark)
    start = 1
    try:
        for cells in reader:
            yield start, cells
            start = reader.line_num + 1
    except csv.Error:
        return


def _unreadable(line: str, encoding: str) -> tuple[str, str]:
    """What was found in a line, and what is allowed."""
    found = UNREADABLE.search(line)
    allowed = f"text saved as {encoding.upper()}, as maps.yaml has it" if encoding else UTF_8
    if found is None:
        return "bytes that are no text", allowed
    if found.group() == "\0":
        return "a character that no text has: U+0000", allowed
    byte = ord(found.group()) & 0xFF
    return (f"a byte that {encoding} has no character for ({byte:#04x})" if encoding else odd_byte(byte)), allowed


def _body(
    reader: Reader, form: tuple[int, tuple[str, ...]], faults: RowFaults, above: int, mark: str
) -> Iterator[tuple[int, list[str]]]:
    """Rows with their line; ``above`` lines stand before the heads.

    :param form: cells of a row, and how those rows begin that may have fewer.
    """
    width, footers = form
    start = reader.line_num + 1 + above
    try:
        for cells in reader:
            line, start = start, reader.line_num + 1 + above
            trimmed = [cell.strip() for cell in cells]
            if not any(trimmed):
                continue
            count = len(trimmed)
            if count == width:
                yield line, trimmed
            elif count < width and _is_footer(list(filter(None, trimmed)), footers):
                yield line, trimmed + [""] * (width - count)
            else:
                faults.form(line, f"{count} cell{'s' * (count != 1)}", f"{width} cells, one a column head")
    except csv.Error as error:
        faults.form(reader.line_num + above, *_in_words(error, mark))


def _is_footer(filled: list[str], footers: tuple[str, ...]) -> bool:
    """Whether a short row is a total or a signature: its form is none to find fault with."""
    return bool(footers) and len(filled) <= MOST_IN_FOOTER and filled[0].casefold().startswith(footers)


def _in_words(error: csv.Error, mark: str) -> tuple[str, str]:
    """What was found and what is allowed, for somebody who knows no parser."""
    allowed = 'a cell in quotes has one " at each end, and "" for a quote within it'
    if "unexpected end of data" in str(error):
        return "a cell in quotes that is never closed", allowed
    if "expected after" in str(error):
        return "text after the closing quote of a cell", allowed
    form = "text with cells parted by tabs" if mark == "\t" else "RFC 4180 text"
    return f"not valid CSV: {error}", form


def _lines(path: Path, faults: RowFaults, encoding: str) -> Iterator[str]:
    """Lines with whatever ends they have; a byte order mark is dropped, a byte that the encoding lacks is a fault."""
    codec, lost = ENCODINGS[encoding or "utf-8"], "replace" if encoding.startswith("utf-16") else "surrogateescape"
    with path.open(encoding=codec, errors=lost, newline="") as file:
        for number, line in enumerate(iter(lambda: file.readline(LONGEST_LINE), ""), start=1):
            if number > MOST_LINES:
                faults.too_big(number, f"more than {MOST_LINES} lines", "a file for each month or year of a longer log")
                return
            if len(line) == LONGEST_LINE:
                faults.too_big(number, f"a line of {LONGEST_LINE} characters or more", "a line for each row")
                return
            if line.isascii() and "\0" not in line:
                hidden = unseen(line.strip("\r\n"))
            elif UNREADABLE.search(line) or (lost == "replace" and LOST in line):
                faults.encoding(number, *_unreadable(line, encoding))
                yield UNREADABLE.sub(LOST, line)
                continue
            elif encoding.startswith("windows") and _is_utf_8(line, codec):
                faults.encoding(
                    number, f"text saved as UTF-8, where maps.yaml has encoding: {encoding}", "encoding: utf-8"
                )
                return
            else:
                hidden = unseen(line.strip("\r\n"))
            if hidden:
                faults.hidden(number, *in_sight(hidden))
            yield line


def _is_utf_8(line: str, codec: str) -> bool:
    """Whether a line read with a codec of one byte a character is UTF-8: other text hardly ever is by chance."""
    try:
        line.encode(codec).decode("utf-8")
    except UnicodeError:
        return False
    return True
