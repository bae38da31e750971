"""Tables as CSV that a spreadsheet opens rightly and cannot be made to run.

RFC 4180: commas, CR LF, quotes doubled; every cell is quoted, so no cell depends on what is in it. UTF-8 with a byte
order mark: without it spreadsheet programs take the bytes for the machine's old code page and spoil °C, µ and
subscripts; readers that know UTF-8 have a name for it (``utf-8-sig``) or skip it.

A cell that a spreadsheet would run as a formula gets an apostrophe in front, as OWASP advises ("CSV Injection"):
those that begin with = + - @ tab, CR or LF, or with the wide forms of the signs. Plain numbers, such as -20, stay.
Where lists are cut at semicolons or tabs a formula may hide behind one inside a cell, so it is stopped there too.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence

MARK = "\ufeff"
SIGNS = "=+\\-@\uff1d\uff0b\uff0d\uff20"
SOUND = re.compile(rf"(?:[^ {SIGNS};\t\r\n][^;\t\r\n]*)?")
"""Most cells: neither of the next two is in them."""
STARTS = re.compile(rf"[{SIGNS}\t\r\n]")
INSIDE = re.compile(rf"(?<=[;\t\r\n])([ \"']*)(?=[{SIGNS}])")
NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")


def csv_bytes(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """The bytes of a table."""
    text = io.StringIO()
    writer = csv.writer(text, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    for row in (columns, *rows):
        writer.writerow([safe_cell(cell) for cell in row])
    return (MARK + text.getvalue()).encode()


def safe_cell(text: str) -> str:
    """``text`` as no spreadsheet runs it.

    >>> safe_cell("=1+1"), safe_cell("-20"), safe_cell("-20+A1"), safe_cell("a;=1")
    ("'=1+1", '-20', "'-20+A1", "a;'=1")
    """
    if SOUND.fullmatch(text) or NUMBER.fullmatch(text):
        return text
    inside = INSIDE.sub(r"\1'", text)
    return f"'{inside}" if STARTS.match(text.lstrip(" ")) else inside
