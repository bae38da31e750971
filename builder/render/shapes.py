"""Rectangles, transforms and colours, brought to millimetres and plain tuples."""

from __future__ import annotations

import math
from typing import TypeAlias

from builder.base.record import dataclass

MM_A_PX, MM_A_PT, PT_A_MM = 25.4 / 96, 25.4 / 72, 72 / 25.4
Colour: TypeAlias = tuple[float, float, float]
Matrix: TypeAlias = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1, 0, 0, 1, 0, 0)
WHITE: Colour = (1.0, 1.0, 1.0)
TINY = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Rect:
    """A rectangle, y growing downward."""

    left: float
    top: float
    right: float
    bottom: float

    def inset(self, by: float) -> Rect:
        """The rectangle ``by`` smaller on every side."""
        return Rect(left=self.left + by, top=self.top + by, right=self.right - by, bottom=self.bottom - by)

    def shared(self, other: Rect) -> tuple[float, float]:
        """Width and height of what both cover; not above zero where they do not meet."""
        across = min(self.right, other.right) - max(self.left, other.left)
        return across, min(self.bottom, other.bottom) - max(self.top, other.top)


def within(own: Matrix | None, around: Matrix) -> Matrix:
    """The transform that holds inside a box: its own, if it has one, applied before the one around it."""
    if own is None:
        return around
    a, b, c, d, e, f = own
    aa, bb, cc, dd, ee, ff = around
    return (
        a * aa + b * cc,
        a * bb + b * dd,
        c * aa + d * cc,
        c * bb + d * dd,
        e * aa + f * cc + ee,
        e * bb + f * dd + ff,
    )


def scale_of(matrix: Matrix) -> float:
    """How much larger a transform makes type."""
    a, b, c, d, _, _ = matrix
    return math.sqrt(abs(a * d - b * c))


def rect_of(matrix: Matrix, x: float, y: float, width: float, height: float) -> Rect:
    """The upright rectangle, in millimetres, around a transformed rectangle in pixels."""
    a, b, c, d, e, f = matrix
    corners = [(x, y), (x + width, y), (x, y + height), (x + width, y + height)]
    across = [(a * px + c * py + e) * MM_A_PX for px, py in corners]
    down = [(b * px + d * py + f) * MM_A_PX for px, py in corners]
    return Rect(left=min(across), top=min(down), right=max(across), bottom=max(down))


def laid_over(colour: tuple[float, float, float, float], ground: Colour, opacity: float) -> Colour:
    """The colour seen when ``colour`` lies over ``ground``."""
    alpha = colour[3] * opacity
    if not alpha:
        return ground
    mixed = [top * alpha + under * (1 - alpha) for top, under in zip(colour[:3], ground, strict=True)]
    return mixed[0], mixed[1], mixed[2]


def is_half_turn(matrix: Matrix) -> bool:
    """Whether a transform only turns a whole sheet by half a turn, which a reader turns back by hand."""
    a, b, c, d, _, _ = matrix
    return abs(a + 1) < TINY and abs(d + 1) < TINY and abs(b) < TINY and abs(c) < TINY


def up(value: float) -> str:
    """Rounded up to a tenth; the millionth keeps 3.4 from becoming 3.5 in binary."""
    return f"{math.ceil(round(value * 10, 6)) / 10:.1f}"


def down(value: float) -> str:
    """Rounded down, so that a value under a limit never prints as the limit itself."""
    return f"{math.floor(round(value * 100, 6)) / 100:.2f}"
