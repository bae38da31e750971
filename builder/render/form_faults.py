"""What a laid-out log sheet must be to be written on: all on it, in its column, legible, its lines where drawn."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from builder.base.record import dataclass
from builder.render.documents import Judgement, Laid
from builder.render.fit import SLACK_MM, contrasts, crossings, losses, sizes, strays
from builder.render.laid_out import Side
from builder.render.shapes import down

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
