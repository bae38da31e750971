"""From the engine's laid-out boxes to the small records of ``ink``: where each piece lies, how large, inside what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from builder.render import arabic
from builder.render.fonts import face_for, x_height_ratio
from builder.render.laid_out import LaidOutItem, Side, TextGroup
from builder.render.pictures import source_pictures, source_words, words_in
from builder.render.shapes import (
    IDENTITY,
    MM_A_PX,
    WHITE,
    Colour,
    Matrix,
    Rect,
    border_of,
    edges_of,
    is_half_turn,
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
UNITS = {"p": "paragraph", "li": "list item", "tr": "table row", "h1": "heading", "h2": "heading", "h3": "heading"}
"""Elements whose lines belong together."""
HEADS = ("h2", "h3")
ASCENT, DESCENT = 0.73, 0.22
"""Reach of letters above and below the baseline, in ems; line boxes are taller than the ink."""


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
    flow: int = 0
    head: bool = False
    element: Any = None


@dataclass(slots=True)
class _Found:
    """What the walk of one side gathers."""

    inks: list[LaidOutItem] = field(default_factory=list)
    flows: int = 0
    foot_top: float | None = None
    units: dict[Any, tuple[str, str, list[Rect]]] = field(default_factory=dict)


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
    if is_half_turn(inner.matrix):
        inner = replace(inner, matrix=IDENTITY)
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
        words=tuple(source_words(box.element, "").items()),
        pictures=tuple(source_pictures(box.element)),
        punch=box.element.get("data-punch", ""),
        language=box.element.get("lang", ""),
        units=tuple(
            TextGroup(block=block, kind=kind, parts=tuple(parts)) for block, kind, parts in found.units.values()
        ),
    )


def _walk(box: Any, around: _Around, found: _Found) -> None:
    box = getattr(box, "_box", box)
    inner = _inside(box, around)
    if box.element is not around.element and box.element_tag in UNITS:  # not the anonymous boxes inside it
        unit = found.units.setdefault(box.element, (inner.block, UNITS[box.element_tag], []))
        unit[2].append(rect_of(inner.matrix, *border_of(box)))
    if not inner.flow and any(type(child).__name__ == "LineBox" for child in box.all_children()):
        found.flows += 1
        inner = replace(inner, flow=found.flows)
    found.inks.extend(_inks(box, inner))
    if box.element is not None and box.element.get("data-foot") and box.element_tag == box.element.tag:
        top = rect_of(inner.matrix, *border_of(box)).top
        found.foot_top = top if found.foot_top is None else min(top, found.foot_top)
    inner = _bounded(box, inner)
    for child in box.all_children():
        _walk(child, inner, found)


def _inside(box: Any, around: _Around) -> _Around:
    """What holds for a box itself: its own marks, transform, ground and opacity added to those around it."""
    marks = {} if box.element is None else box.element.attrib
    part = marks.get("data-part") == "head"
    return replace(
        around,
        matrix=matrix_of(box, around.matrix),
        block=marks.get("data-block", around.block),
        ground=laid_over(rgba_of(box.style["background_color"]), around.ground, 1),
        opacity=around.opacity * opacity_of(box),
        decisive=around.decisive or "data-decisive" in marks,
        action=(around.action or marks.get("data-emphasis") == "action") and not part,
        decor=around.decor or "data-decor" in marks,
        head=around.head or part or box.element_tag in HEADS,
        element=box.element,
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


def _inks(box: Any, around: _Around) -> Iterator[LaidOutItem]:
    ink = _ink(box, around)
    if ink is not None:
        yield ink
    if ink is not None and ink.kind == "picture":
        yield from _in_picture(box, around)
    edges = edges_of(box, around.matrix)
    if any(edges):
        yield replace(_plain("rule", box, around), edges=edges)


def _in_picture(box: Any, around: _Around) -> Iterator[LaidOutItem]:
    """The words of a picture, which must stay inside it."""
    x, y, matrix, scale = box.content_box_x(), box.content_box_y(), around.matrix, scale_of(around.matrix)
    whole = rect_of(matrix, x, y, box.width, box.height)
    frame = replace(_plain("text", box, around), bounds=(*around.bounds, ("picture", whole)), picture=True)
    for words in words_in(box.element, box.width, box.height):
        size, ratio = words.size, x_height_ratio(face_for(words.weight))
        colour = (*(words.colour or around.ground), 1.0)
        left, baseline = x + words.left, y + words.baseline
        yield replace(
            frame,
            rect=rect_of(matrix, left, baseline - ASCENT * size, words.width, (ASCENT + DESCENT) * size),
            text=words.text,
            size_pt=size * PT_A_PX * scale,
            x_height=size * ratio * MM_A_PX * scale,
            weight=words.weight,
            core=rect_of(matrix, left, baseline - ratio * size, words.width, ratio * size),
            colour=laid_over(colour, around.ground, around.opacity),
            ground=around.ground,
        )


def _ink(box: Any, around: _Around) -> LaidOutItem | None:
    kind = type(box).__name__
    if kind.endswith("ReplacedBox") and box.element is not None and box.element.get("data-qr"):
        return replace(_plain("qr", box, around), text=box.element.get("data-qr"))
    if kind == "TextBox":
        return _text(box, around)
    if kind.endswith("ReplacedBox"):
        return _plain("picture", box, around)
    if kind in ("TableBox", "InlineTableBox"):
        return _plain("table", box, around)
    if box.element is not None and box.element.get("data-block") and kind == "BlockBox":
        return _plain("block", box, around)
    return None


def _plain(kind: str, box: Any, around: _Around) -> LaidOutItem:
    return LaidOutItem(
        kind=kind,
        block=around.block,
        rect=rect_of(around.matrix, *border_of(box)),
        bounds=around.bounds,
        hidden=box.style["visibility"] != "visible" or around.opacity == 0,
        decor=around.decor,
    )


def _text(box: Any, around: _Around) -> LaidOutItem:
    size = box.style["font_size"]
    weight = int(box.style["font_weight"])
    scale = scale_of(around.matrix)
    ratio = x_height_ratio(face_for(weight, box.style["font_style"] != "normal"))
    ascent, descent = ASCENT, DESCENT
    if arabic.has_arabic(box.text):
        ratio, ascent, descent = min(ratio, arabic.body_ratio(weight)), arabic.ASCENT, arabic.DESCENT
    baseline = box.position_y + box.baseline
    top, height = baseline - ascent * size, (ascent + descent) * size
    colour = rgba_of(box.style["color"])
    return LaidOutItem(
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
        flow=around.flow,
        head=around.head,
        baseline=rect_of(around.matrix, box.position_x, baseline, 0, 0).top,
    )
