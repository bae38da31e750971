"""Rectangles, transforms and colours of laid-out boxes, brought to millimetres and plain tuples."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, TypeAlias

MM_A_PX = 25.4 / 96
Colour: TypeAlias = tuple[float, float, float]
Matrix: TypeAlias = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1, 0, 0, 1, 0, 0)
WHITE: Colour = (1, 1, 1)
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


def border_of(box: Any) -> tuple[float, float, float, float]:
    """Border box in the engine's pixels: left, top, width, height."""
    return box.border_box_x(), box.border_box_y(), box.border_width(), box.border_height()


def matrix_of(box: Any, around: Matrix) -> Matrix:
    """The transform that holds inside a box, its own applied before the one around it."""
    own = box.transformation_matrix
    if not own:
        return around
    a, b, c, d, e, f = own.values
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


def opacity_of(box: Any) -> float:
    """The opacity a box itself adds; text and lines only repeat their parent's."""
    anonymous = type(box).__name__ in ("TextBox", "LineBox")
    return 1 if anonymous else float(box.style["opacity"])


def rgba_of(colour: Any) -> tuple[float, float, float, float]:
    """Red, green, blue and alpha of one of the engine's colours, 0 to 1."""
    red, green, blue = colour.to("srgb")[:3]
    return float(red), float(green), float(blue), float(colour.alpha)


def laid_over(colour: tuple[float, float, float, float], ground: Colour, opacity: float) -> Colour:
    """The colour seen when ``colour`` lies over ``ground``."""
    alpha = colour[3] * opacity
    mixed = [top * alpha + under * (1 - alpha) for top, under in zip(colour[:3], ground, strict=True)]
    return mixed[0], mixed[1], mixed[2]


def edges_of(box: Any, matrix: Matrix) -> tuple[float, float, float, float]:
    """Widths of a box's drawn borders in millimetres: top, right, bottom, left; 0 where none is drawn."""
    if type(box).__name__ in ("TextBox", "LineBox", "PageBox"):
        return 0.0, 0.0, 0.0, 0.0
    scale = scale_of(matrix) * MM_A_PX
    top, right, bottom, left = (
        0.0 if box.style[f"border_{name}_style"] in ("none", "hidden") else float(box.style[f"border_{name}_width"])
        for name in ("top", "right", "bottom", "left")
    )
    return top * scale, right * scale, bottom * scale, left * scale


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
