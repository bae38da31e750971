"""What the source of a card has: its words, its pictures, and the words inside pictures.

The layout engine keeps no boxes of the words inside a picture, so their places are computed from the source.
"""

from collections.abc import Iterator
from typing import Any

from builder.base.record import dataclass
from builder.render.fonts import text_width

SVG = "{http://www.w3.org/2000/svg}"
PICTURES = (f"{SVG}svg", "svg", "img")
"""Elements that are laid out as a picture."""
TEXTS = (f"{SVG}text", "text")
ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureText:
    """One text of a picture, in pixels of the picture's content box."""

    text: str
    left: float
    baseline: float
    width: float
    size: float
    """Type size."""
    weight: int
    colour: tuple[float, float, float] | None
    """Red, green and blue, 0 to 1; ``None`` for a colour that is not written as ``#rgb`` or ``#rrggbb``."""


def words_in(element: Any, width: float, height: float) -> Iterator[PictureText]:
    """Every text of an SVG element that is laid out ``width`` by ``height`` pixels large.

    A text that is moved by a transform, or that does not say its size or place, has no place that could be judged: it
    counts as infinitely small.
    """
    left, top, scale = _frame(element, width, height)
    moved = {child for parent in element.iter() if parent.get("transform") for child in parent.iter()}
    for node in (node for node in element.iter() if node.tag in TEXTS):
        text = "".join(node.itertext()).strip()
        size = 0.0 if node in moved else _number(node.get("font-size"))
        weight = int(_number(node.get("font-weight"), 400))
        wide = text_width(text, size, weight)
        x = _number(node.get("x")) - ANCHORS.get(node.get("text-anchor", "start"), 0.0) * wide
        yield PictureText(
            text=text,
            left=(x - left) * scale,
            baseline=(_number(node.get("y")) - top) * scale,
            width=wide * scale,
            size=size * scale,
            weight=weight,
            colour=_colour(node.get("fill", "#000")),
        )


def _frame(element: Any, width: float, height: float) -> tuple[float, float, float]:
    """Left and top of the view box, and pixels for one unit; the box may be larger one way than the picture."""
    parts = [_number(part) for part in (element.get("viewBox") or "").replace(",", " ").split()]
    if len(parts) != 4 or parts[2] <= 0 or parts[3] <= 0:  # noqa: PLR2004 - a view box has four numbers
        return 0.0, 0.0, 1.0
    scale = min(width / parts[2], height / parts[3])
    return parts[0] - (width / scale - parts[2]) / 2, parts[1] - (height / scale - parts[3]) / 2, scale


def _number(text: str | None, otherwise: float = 0.0) -> float:
    try:
        return float(text or "")
    except ValueError:
        return otherwise


def _colour(text: str) -> tuple[float, float, float] | None:
    digits = text.removeprefix("#")
    whole = "".join(digit * 2 for digit in digits) if len(digits) == 3 else digits  # noqa: PLR2004 - #rgb
    try:
        red, green, blue = bytes.fromhex(whole)
    except ValueError:
        return None
    return red / 255, green / 255, blue / 255


def source_words(element: Any, block: str) -> dict[str, str]:
    """Characters below an element by block; white space, soft hyphens and the insides of pictures left out."""
    block = element.get("data-block", block)
    words = {block: _letters(element.text or "")}
    for child in element:
        if isinstance(child.tag, str) and child.tag not in PICTURES:
            for name, text in source_words(child, block).items():
                words[name] = words.get(name, "") + text
        words[block] += _letters(child.tail or "")
    return words


def source_pictures(element: Any, block: str = "") -> Iterator[str]:
    """The block of every picture below an element."""
    block = element.get("data-block", block)
    for child in element:
        if child.tag in PICTURES:
            yield block
        elif isinstance(child.tag, str):
            yield from source_pictures(child, block)


def _letters(text: str) -> str:
    return "".join(text.replace("\u00ad", "").split())
