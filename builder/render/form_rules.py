"""What is drawn in the lines of a log sheet: rules, and boxes to tick, in one picture a table; how a sheet is judged.

Cells are what a table costs, so blank ones side by side are one cell, and no cell of a line draws anything itself.
Together they save half of a log sheet's time. All lines of a table are equally high, and the picture hangs from its
last one: so it fits each part of a table that runs over pages, whatever its head takes.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import accumulate, groupby, pairwise
from urllib.parse import quote

from builder.base.record import dataclass
from builder.render.documents import Judgement, Laid
from builder.render.fit import SLACK_MM, contrasts, crossings, losses, sizes, strays
from builder.render.laid_out import Side
from builder.render.shapes import down

THIN, THICK = (0.141, "#6f7f87"), (0.318, "#4a6572")
"""Millimetres and colour of a line: 0.4 pt after a column and a line, 0.9 pt after a channel."""

INSET = 0.12
"""The outer lines stand this far within, so that a head covers them wholly."""

TICKS = {"tick": 1, "set": 1, "alarms": 3}
"""Kind of column -> boxes to tick in it."""
TICK, TICK_APART, TICK_LINE, TICK_IN = 2.953, 0.7, (0.176, "#111"), 0.9
"""Millimetres: width of a box over all, between two, of its line, and before the first."""


def merged(kinds: Sequence[str]) -> tuple[tuple[str, int], ...]:
    """What stands in the cells of a line already, and over how many columns; blank ones side by side are one cell."""
    found: list[tuple[str, int]] = []
    for kind, same in groupby(kinds):
        count = len(tuple(same))
        found += [(kind, 1)] * count if kind else [(kind, count)]
    return tuple(found)


def column_runs(widths: Sequence[float]) -> tuple[tuple[float, int], ...]:
    """Width of columns, and how many side by side have it."""
    return tuple((width, len(tuple(same))) for width, same in groupby(widths))


def lines_picture(
    widths: Sequence[float], ends: Sequence[int], kinds: Sequence[str], rows: int, row: float, *, turned: bool
) -> str:
    """A picture of so many lines to fill in, as an address for a style.

    :param widths: of the columns, in millimetres.
    :param ends: columns, counted from 0, that end a channel.
    :param kinds: of each column, which decides its boxes to tick.
    :param row: height of a line, in millimetres.
    :param turned: whether the first column is the rightmost.
    """
    total, high = sum(widths), rows * row
    right = [(x, THICK if at in ends else THIN) for at, x in enumerate(accumulate(widths))]
    middles = [(THIN[0] / 2 + INSET, THIN), *((x - line[0] / 2 - INSET * (x == total), line) for x, line in right)]
    upright = {line: [f"M{total - x if turned else x:.3f},0v{high:.2f}" for x, one in middles if one == line]
               for line in (THIN, THICK)}  # fmt: skip
    upright[THIN] += [f"M0,{at * row - THIN[0] / 2:.3f}h{total:.2f}" for at in range(1, rows + 1)]
    side = TICK - TICK_LINE[0]
    box = f"h{side:.3f}v{side:.3f}h-{side:.3f}z"
    lefts = [total - x - side if turned else x for x in _ticks(widths, kinds)]
    boxes = [f"M{x:.3f},{at * row + (row - side) / 2:.3f}{box}" for x in lefts for at in range(rows)]
    drawn = "".join(_stroke(parts, *line) for line, parts in (*upright.items(), (TICK_LINE, boxes)))
    size = f"viewBox='0 0 {total:.3f} {high:.3f}' preserveAspectRatio='none'"
    return "data:image/svg+xml," + quote(f"<svg xmlns='http://www.w3.org/2000/svg' {size}>{drawn}</svg>", safe="/,:=")


def _ticks(widths: Sequence[float], kinds: Sequence[str]) -> Iterator[float]:
    """Where the line of each box begins, from the first column on."""
    for (left, _), kind in zip(pairwise((0.0, *accumulate(widths))), kinds, strict=True):
        for number in range(TICKS.get(kind, 0)):
            yield left + TICK_IN + number * (TICK + TICK_APART) + TICK_LINE[0] / 2


def _stroke(parts: Sequence[str], width: float, colour: str) -> str:
    return f"<path d='{''.join(parts)}' fill='none' stroke='{colour}' stroke-width='{width}'/>" if parts else ""


LINES = "lines "
"""Begins the name of the block of a group's lines; its number follows."""


@dataclass(frozen=True, slots=True)
class FormRules:
    """Everything is on the sheet, in its column, and legible, on however many pages."""

    name: str
    rows: tuple[float, ...]
    """Of each group, the height of its lines in millimetres, as the picture behind them has it."""

    def judge(self, laid: Laid) -> Judgement:
        """What is wrong with a laid-out sheet."""
        return Judgement(faults=tuple(form_faults(self.name, laid.sides, self.rows)))


def form_faults(name: str, pages: Sequence[Side], rows: Sequence[float]) -> Iterator[str]:
    """What is lost, too small, too pale, outside its column or beside its line on a laid-out sheet, each with its page.

    :param rows: of each group, the height that its lines are drawn with.
    """
    if not pages:
        yield f"{name}: was not laid out"
        return
    heads = [side for side in pages if side.name == "head"]
    pages = [side for side in pages if side.name != "head"]
    whole = replace(pages[0], inks=tuple(ink for side in pages for ink in side.inks))
    found = [f"{name}: {fault}" for fault in losses(whole)]
    for side in (*heads, *pages):
        faults = (*strays(side, 0), *sizes(side), *contrasts(side), *crossings(side), *_uneven(side, rows))
        found += [f"{name}, page {side.page}: {fault}" for fault in faults]
    yield from dict.fromkeys(found)


def _uneven(side: Side, rows: Sequence[float]) -> Iterator[str]:
    """Lines that are not as high as they are drawn, so that what is written would stand beside them."""
    for ink in side.inks:
        if ink.block.startswith(LINES):
            drawn = rows[int(ink.block.removeprefix(LINES)) - 1]
            for high in (cell.bottom - cell.top for place, cell in ink.bounds if place == "cell"):
                if abs(high - drawn) > SLACK_MM:
                    yield f"block {ink.block}: a line is {down(high)} mm high, and drawn {down(drawn)} mm high"
