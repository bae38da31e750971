"""Laid-out card sides as small records: where each piece of ink lies, how large it is and what it must stay inside.

All lengths are millimetres from the page's upper left corner, after transforms. The rules are in ``fit``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from builder.render.fonts import face_for, x_height_ratio
from builder.render.shapes import (
    IDENTITY,
    MM_A_PX,
    WHITE,
    Colour,
    Matrix,
    Rect,
    border_of,
    laid_over,
    matrix_of,
    opacity_of,
    rect_of,
    rgba_of,
    scale_of,
)

if TYPE_CHECKING:
    from weasyprint import Document

PT_A_PX = 0.75
ASCENT, DESCENT = 0.73, 0.22
"""Reach of letters above and below the baseline, in ems; line boxes are taller than the ink."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """One laid-out piece: a run of text, a picture or a table."""

    kind: str
    """``text``, ``picture``, ``table`` or ``block`` (the frame of a whole card block)."""
    block: str
    """Name of the card block it belongs to."""
    rect: Rect
    """What it covers."""
    bounds: tuple[tuple[str, Rect], ...] = ()
    """Further things it must stay inside: (``cell`` or ``clip``, where)."""
    text: str = ""
    size_pt: float = 0
    """Type size after transforms."""
    x_height: float = 0
    """Height of a lower-case x."""
    weight: int = 400
    core: Rect | None = None
    """The band of lower-case letters, which other text must not cross."""
    colour: Colour = (0, 0, 0)
    """As it appears, opacity applied."""
    ground: Colour = WHITE
    """Background under it."""
    decisive: bool = False
    action: bool = False
    hidden: bool = False
    decor: bool = False
    """Behind the text on purpose: the word on drafts."""
    generated: bool = False
    """From the style sheet (list markers), not from the card's words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of a card as laid out on a page."""

    card: str
    name: str
    page: int
    """Number of the page, the first is 1."""
    area: Rect
    """The trimmed card."""
    foot_top: float | None
    """Where the foot begins, or ``None`` without a foot."""
    inks: tuple[Ink, ...]
    words: tuple[tuple[str, str], ...]
    """(block, its characters without white space) of the source."""


@dataclass(frozen=True, slots=True)
class _Around:
    """What a box inherits from the boxes around it."""

    matrix: Matrix = IDENTITY
    block: str = ""
    bounds: tuple[tuple[str, Rect], ...] = ()
    ground: Colour = WHITE
    opacity: float = 1
    decisive: bool = False
    action: bool = False
    decor: bool = False


@dataclass(slots=True)
class _Found:
    """What the walk of one side gathers."""

    inks: list[Ink] = field(default_factory=list)
    foot_top: float | None = None


def sides_of(document: Document) -> tuple[Side, ...]:
    """Every card side in a laid-out document, in order; a side broken over pages appears once a page."""
    found: list[Side] = []
    for number, page in enumerate(document.pages, start=1):
        found.extend(_sides_in(page._page_box, number, _Around()))  # noqa: SLF001 - no other way; version is pinned
    return tuple(found)


def _sides_in(box: Any, page: int, around: _Around) -> Iterator[Side]:
    box = getattr(box, "_box", box)
    element = box.element
    if element is not None and element.get("data-card") and box.element_tag == element.tag:
        yield _side(box, page, around)
        return
    inner = replace(around, matrix=matrix_of(box, around.matrix))
    for child in box.all_children():
        yield from _sides_in(child, page, inner)


def _side(box: Any, page: int, around: _Around) -> Side:
    found = _Found()
    _walk(box, around, found)
    return Side(
        card=box.element.get("data-card"),
        name=box.element.get("data-side"),
        page=page,
        area=rect_of(matrix_of(box, around.matrix), *border_of(box)),
        foot_top=found.foot_top,
        inks=tuple(found.inks),
        words=tuple(_words(box.element, "").items()),
    )


def _walk(box: Any, around: _Around, found: _Found) -> None:
    box = getattr(box, "_box", box)
    inner = _inside(box, around)
    ink = _ink(box, inner)
    if ink is not None:
        found.inks.append(ink)
    if box.element is not None and box.element.get("data-foot") and box.element_tag == box.element.tag:
        top = rect_of(inner.matrix, *border_of(box)).top
        found.foot_top = top if found.foot_top is None else min(top, found.foot_top)
    inner = _bounded(box, inner)
    for child in box.all_children():
        _walk(child, inner, found)


def _inside(box: Any, around: _Around) -> _Around:
    """What holds for a box itself: its own marks, transform, ground and opacity added to those around it."""
    marks = {} if box.element is None else box.element.attrib
    head = marks.get("data-part") == "head"
    return replace(
        around,
        matrix=matrix_of(box, around.matrix),
        block=marks.get("data-block", around.block),
        ground=laid_over(rgba_of(box.style["background_color"]), around.ground, 1),
        opacity=around.opacity * opacity_of(box),
        decisive=around.decisive or "data-decisive" in marks,
        action=(around.action or marks.get("data-emphasis") == "action") and not head,
        decor=around.decor or "data-decor" in marks,
    )


def _bounded(box: Any, around: _Around) -> _Around:
    """The bounds a box sets for what is inside it."""
    kind = type(box).__name__
    bounds = list(around.bounds)
    if kind == "TableCellBox":
        bounds.append(("cell", rect_of(around.matrix, *border_of(box))))
    if box.style["overflow"] != "visible" and kind not in ("TextBox", "LineBox", "InlineBox", "PageBox"):
        size = (box.padding_width(), box.padding_height())
        bounds.append(("clip", rect_of(around.matrix, box.padding_box_x(), box.padding_box_y(), *size)))
    return replace(around, bounds=tuple(bounds))


def _ink(box: Any, around: _Around) -> Ink | None:
    kind = type(box).__name__
    if kind == "TextBox":
        return _text(box, around)
    if kind.endswith("ReplacedBox"):
        return _plain("picture", box, around)
    if kind in ("TableBox", "InlineTableBox"):
        return _plain("table", box, around)
    if box.element is not None and box.element.get("data-block") and kind == "BlockBox":
        return _plain("block", box, around)
    return None


def _plain(kind: str, box: Any, around: _Around) -> Ink:
    return Ink(
        kind=kind,
        block=around.block,
        rect=rect_of(around.matrix, *border_of(box)),
        bounds=around.bounds,
        hidden=box.style["visibility"] != "visible" or around.opacity == 0,
        decor=around.decor,
    )


def _text(box: Any, around: _Around) -> Ink:
    size = box.style["font_size"]
    weight = int(box.style["font_weight"])
    scale = scale_of(around.matrix)
    ratio = x_height_ratio(face_for(weight, box.style["font_style"] != "normal"))
    baseline = box.position_y + box.baseline
    top, height = baseline - ASCENT * size, (ASCENT + DESCENT) * size
    colour = rgba_of(box.style["color"])
    return Ink(
        kind="text",
        block=around.block,
        rect=rect_of(around.matrix, box.position_x, top, box.width, height),
        bounds=around.bounds,
        text=box.text,
        size_pt=size * PT_A_PX * scale,
        x_height=size * ratio * MM_A_PX * scale,
        weight=weight,
        core=rect_of(around.matrix, box.position_x, baseline - ratio * size, box.width, ratio * size),
        colour=laid_over(colour, around.ground, around.opacity),
        ground=around.ground,
        decisive=around.decisive,
        action=around.action,
        hidden=box.style["visibility"] != "visible",
        decor=around.decor,
        generated="::" in (box.element_tag or ""),
    )


# ---- source ----------------------------------------------------------------------


def _words(element: Any, block: str) -> dict[str, str]:
    """Characters of the source below an element by block, white space and soft hyphens left out."""
    block = element.get("data-block", block)
    words = {block: _packed(element.text or "")}
    for child in element:
        if isinstance(child.tag, str):
            for name, text in _words(child, block).items():
                words[name] = words.get(name, "") + text
        words[block] += _packed(child.tail or "")
    return words


def _packed(text: str) -> str:
    return "".join(text.replace("\u00ad", "").split())
