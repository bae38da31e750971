"""Where the heads of a table stand, and how its file was saved: said by the site or plain to see, never guessed."""

from collections.abc import Iterable, Sequence

from builder.base.record import dataclass

FIRST_ROWS = 30
"""Rows in which the heads of a map are looked for; what stands above them is a title."""
ENCODINGS = {
    "utf-8": "utf-8-sig",
    "utf-16": "utf-16",
    "utf-16-le": "utf-16-le",
    "windows-1250": "cp1250",
    "windows-1251": "cp1251",
    "windows-1252": "cp1252",
    "windows-1256": "cp1256",
}
"""Names of encodings a map may give -> the codec that reads them; ``utf-16`` is told its order by the file's mark."""
SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """What a map says of the form of a table; nothing of a table without a map."""

    sheet: str = ""
    """Sheet of a workbook; the first where empty."""
    line: int = 0
    """Row of the heads; 0 where it is not said."""
    two_rows: bool = False
    """Whether the row above has heads too, each common to those under it and to its right."""
    fills_merged: bool = False
    """Whether a cell merged over rows counts for each of them; else it is refused."""
    wanted: frozenset[str] = frozenset()
    """Heads that the map names, by which their row is found."""
    encoding: str = ""
    """One of ``ENCODINGS``; UTF-8 where empty."""
    footers: tuple[str, ...] = ()
    """How rows begin, in small letters, that are no rows and may be shorter."""
    separator: str = ""
    """One of ``SEPARATORS``; comma or semicolon, as the row of heads has, where empty."""


PLAIN = Shape()


def heads_at(rows: Iterable[tuple[int, Sequence[str]]], shape: Shape) -> tuple[int, int]:
    """The row of the heads, and how many of the wanted ones stand in it.

    Without at least half of those in one of the first rows it is the first row that is not empty, where whatever is
    missing is then told.

    >>> heads_at([(1, ["Bench tests"]), (3, ["Unit", "When"])], Shape(wanted=frozenset({"Unit", "When"})))
    (3, 2)
    """
    first, best, most = 0, 0, 0
    for line, cells in rows:
        if line > FIRST_ROWS and line > shape.line:
            break
        count = len(shape.wanted.intersection(" ".join(cell.split()) for cell in cells))
        if shape.line == line:
            return line, count
        first = first or (line if any(cells) else 0)
        if count > most:
            best, most = line, count
    if shape.line:
        return shape.line, 0
    return (best, most) if best and most * 2 >= len(shape.wanted) else (first or 1, 0)
