"""Sides with room to spare are set larger and looser, so that a card is easy to read at arm's length in bad light.

Type grows first, up to a cap; what room is left then goes between rows and blocks. Each step is laid out, measured by
the rules of fit and taken back for a side that it spoils: easing never decides whether a card is good.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from builder.pages.blocks import Block, Card, CardSide, Ease, ItemList, Notice, Table
from builder.render.fit import fit_faults
from builder.render.formats import SAFE_MM
from builder.render.laid_out import Side
from builder.render.lines import stubs

MOST = 1.3
"""Type grows at most to this many times the size of its format: larger letters break too many lines on small cards."""
CLEAR_MM = 0.8
"""Kept free above the foot."""
ROW_MM, GAP_MM = 0.9, 5.0
"""Most room that is added on either side of a row, and between blocks."""
ROW_SHARE = 0.6
"""The part of spare room that rows may have before blocks get theirs."""
TRIES = 3
"""Layouts in search of a size; each further one asks half the growth of the sides that did not bear it."""
SHORT = 0.25
"""Growing type makes no last line under this part of its text's width: a number would be torn from its word."""


@dataclass(frozen=True, slots=True)
class Room:
    """Height of the blocks of a side and of all the room for them, in millimetres."""

    used: float
    whole: float

    @property
    def spare(self) -> float:
        """Room that nothing stands in."""
        return max(0.0, self.whole - self.used)


def room_of(side: Side) -> Room:
    """What the blocks of a laid-out side take of the room between its head and its foot."""
    frames = [ink.rect for ink in side.inks if ink.kind == "block" and ink.block not in ("title", "foot")]
    top = min((rect.top for rect in frames), default=side.area.top + SAFE_MM)
    end = (side.area.bottom - SAFE_MM if side.foot_top is None else side.foot_top) - CLEAR_MM
    return Room(used=max((rect.bottom for rect in frames), default=top) - top, whole=end - top)


def eased(card: Card, usual: float, sides: Sequence[Side], lay: Callable[[Card], Sequence[Side]]) -> Card:
    """The card with the ease that its sides have room for.

    :param usual: points of its running text, as ``sides`` were laid out.
    :param lay: lays a card out, for trial.
    """
    measured = {side.name: side for side in sides}
    points = {name: larger(room_of(side), usual) for name, side in measured.items()}
    for tried in range(TRIES):
        if not any(points.values()):
            break
        trial = {side.name: side for side in lay(_with(card, points, {}))}
        spoilt = {name for name in points if points[name] and _worse(trial.get(name), measured[name])}
        kept = {name: trial[name] for name in trial if name not in spoilt}
        last = tried + 1 == TRIES
        if not spoilt or last:
            measured |= kept
            points = {name: 0 if name in spoilt else found for name, found in points.items()}
            break
        points = {name: halfway(found, usual) if name in spoilt else found for name, found in points.items()}
    air = {side.name: loosened(side, room_of(measured[side.name])) for side in card.sides}
    made = _with(card, points, air)
    final = {side.name: side for side in lay(made)}
    spoilt = {name for name in measured if _worse(final.get(name), measured[name])}
    return _with(card, points, {name: (0, 0) if name in spoilt else found for name, found in air.items()})


def larger(room: Room, usual: float) -> float:
    """Points that the text of a side could be set in, or 0 where it has no room.

    Lines that break anew make text grow by more than its size, at most by its square; the first try lies between.
    """
    if room.used <= 0 or room.spare <= 0:
        return 0
    ratio = min(MOST, (room.whole / room.used) ** 0.7)
    points = math.floor(round(usual * ratio * 10, 6)) / 10
    return points if points > usual else 0


def halfway(points: float, usual: float) -> float:
    """A size between one that was too large and the usual one, or 0 where there is none."""
    found = math.floor(round((points + usual) * 5, 6)) / 10
    return found if found > usual else 0


def loosened(side: CardSide, room: Room) -> tuple[float, float]:
    """(``row_mm``, ``gap_mm``) that spare room gives."""
    blocks = [part for block in side.blocks for part in block.blocks]
    rows, gaps = sum(_rows(blocks)), len(side.blocks) - 1
    row = min(ROW_MM, ROW_SHARE * room.spare / (2 * rows)) if rows else 0
    left = room.spare - 2 * row * rows
    gap = min(GAP_MM, left / (gaps + 1)) if gaps else 0
    return math.floor(row * 100) / 100, math.floor(gap * 100) / 100


def _rows(blocks: Sequence[Block]) -> Iterator[int]:
    """Rows of tables and items of lists, each with room above and below."""
    for block in blocks:
        if isinstance(block, Table):
            yield max(1, len(block.rows))
        elif isinstance(block, ItemList):
            yield len(block.items)
            for item in block.items:
                yield from _rows(item)
        elif isinstance(block, Notice):
            yield from _rows(block.content)


def _worse(trial: Side | None, before: Side) -> bool:
    """Whether a side that was good is no longer so, or has got something to be told."""
    if trial is None:
        return True
    if fit_faults([trial], [(before.card, before.name)], 0):
        return True
    return len(list(stubs(trial, SHORT))) > len(list(stubs(before, SHORT)))


def _with(card: Card, points: Mapping[str, float], air: Mapping[str, tuple[float, float]]) -> Card:
    sides = []
    for side in card.sides:
        row, gap = air.get(side.name, (0, 0))
        sides.append(replace(side, ease=Ease(type_pt=points.get(side.name, 0), row_mm=row, gap_mm=gap)))
    return replace(card, sides=tuple(sides))
