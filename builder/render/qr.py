"""Square codes for telephones, drawn as one path; the only door to the library that makes them."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby
from string import ascii_lowercase, ascii_uppercase, digits
from typing import TypeAlias

from builder.base.record import dataclass

Point: TypeAlias = tuple[int, int]

QUIET = 4
"""Modules that stay blank on every side, ISO/IEC 18004."""
ALIKE = str.maketrans(digits + ascii_uppercase + ascii_lowercase, "0" * 10 + "A" * 26 + "a" * 26)
"""Digits, capitals and small letters each make the same kind of code, ISO/IEC 18004."""
MODULE_MM = 0.36
"""Width of a module. Under 0.33 mm the cameras of cheap telephones and worn prints begin to fail (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class QrMark:
    """A code as it is drawn."""

    text: str
    """What a telephone reads."""
    modules: int
    """Modules on a side, the blank ones included."""
    size: float
    """Millimetres on a side, the blank ones included."""
    path: str
    """SVG path, one module a unit; empty where it is not drawn."""


@lru_cache(maxsize=256)
def qr_mark(text: str) -> QrMark:
    """The code of a text, of middle error correction (about 15 % of it may be lost) and always drawn alike.

    Kept for a while, as a sheet may have several copies of each label.
    """
    rows = _rows(text, None)
    return _mark(text, len(rows), outline(rows))


def undrawn_mark(text: str) -> QrMark:
    """The same without its path, for next to no work: for who only asks how much room it takes, or reads.

    A code has as many modules as its signs need by number and kind, so it is made once for all texts alike in that.
    """
    return _mark(text, _modules(text.translate(ALIKE)), "")


@lru_cache(maxsize=1024)
def _modules(text: str) -> int:
    return len(_rows(text, 0))  # a mask decides which modules are dark, not how many there are


def _rows(text: str, mask: int | None) -> list[bytes]:
    import segno  # noqa: PLC0415 - only cards that have a code load it

    code = segno.make(text, error="m", micro=False, boost_error=False, mask=mask)
    return [bytes(row) for row in code.matrix]


def _mark(text: str, rows: int, path: str) -> QrMark:
    modules = rows + 2 * QUIET
    return QrMark(text=text, modules=modules, size=round(modules * MODULE_MM, 2), path=path)


def outline(rows: Sequence[Sequence[int]]) -> str:
    """SVG path around dark modules, inside the blank ones: no seams between rows, and half the steps of boxes.

    >>> outline([[1, 1], [0, 1]])
    'M4 4h2v2h-1v-1h-1z'
    """
    leaving = _edges(rows)
    paths: list[str] = []
    for start in sorted(leaving, key=lambda point: (point[1], point[0])):
        while leaving[start]:
            paths.append(_round(start, leaving))
    return "".join(paths)


def _edges(rows: Sequence[Sequence[int]]) -> dict[Point, list[Point]]:
    """Each corner of a module -> the steps that leave it along an edge, dark on their right."""
    found: dict[Point, list[Point]] = {}
    wide = range(len(rows))
    for y, row in enumerate(rows):
        for x in (x for x, dark in enumerate(row) if dark):
            if y - 1 not in wide or not rows[y - 1][x]:
                found.setdefault((x, y), []).append((1, 0))
            if x + 1 not in wide or not row[x + 1]:
                found.setdefault((x + 1, y), []).append((0, 1))
            if y + 1 not in wide or not rows[y + 1][x]:
                found.setdefault((x + 1, y + 1), []).append((-1, 0))
            if x - 1 not in wide or not row[x - 1]:
                found.setdefault((x, y + 1), []).append((0, -1))
    return found


def _round(start: Point, leaving: dict[Point, list[Point]]) -> str:
    """One way round, taken off the steps that are left."""
    (x, y), steps = start, []
    while True:
        step = leaving[x, y].pop(0)
        x, y = x + step[0], y + step[1]
        steps.append(step)
        if (x, y) == start:
            break
    runs = [(step, len(tuple(same))) for step, same in groupby(steps)]
    drawn = "".join(f"h{dx * long}" if dx else f"v{dy * long}" for (dx, dy), long in runs[:-1])
    return f"M{QUIET + start[0]} {QUIET + start[1]}{drawn}z"
