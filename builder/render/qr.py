"""Square codes for telephones, drawn as one path; the only door to the library that makes them."""

from builder.base.record import dataclass

QUIET = 4
"""Modules that stay blank on every side, ISO/IEC 18004."""
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
    """SVG path, one module a unit."""


def qr_mark(text: str) -> QrMark:
    """The code of a text, of middle error correction (about 15 % of it may be lost) and always drawn alike."""
    import segno  # noqa: PLC0415 - only cards that have a code load it

    code = segno.make(text, error="m", micro=False, boost_error=False)
    rows = [bytes(row) for row in code.matrix]
    modules = len(rows) + 2 * QUIET
    runs = [(start, y, long) for y, row in enumerate(rows) for start, long in _runs(row)]
    strokes = [f"M{QUIET + x} {QUIET + y}h{long}v1h-{long}z" for x, y, long in runs]
    return QrMark(text=text, modules=modules, size=round(modules * MODULE_MM, 2), path="".join(strokes))


def _runs(row: bytes) -> list[tuple[int, int]]:
    """Where dark modules begin and how many stand side by side."""
    found: list[tuple[int, int]] = []
    for x, dark in enumerate(row):
        if dark and found and sum(found[-1]) == x:
            found[-1] = (found[-1][0], found[-1][1] + 1)
        elif dark:
            found.append((x, 1))
    return found
