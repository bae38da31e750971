"""From the engine's laid-out boxes to the records of ``laid_out``: where each piece lies, how large, inside what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field, replace
from typing import TYPE_CHECKING, Any, TypeAlias

from builder.base.record import dataclass
from builder.render import arabic, shapes
from builder.render.engine import LaidBox, page_boxes
from builder.render.fonts import face_for, x_height_ratio
from builder.render.laid_out import LaidOutItem, Side, TextGroup
from builder.render.pictures import source_pictures, source_words, words_in

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

    matrix: shapes.Matrix = shapes.IDENTITY
    block: str = ""
    bounds: tuple[tuple[str, shapes.Rect], ...] = ()
    ground: shapes.Colour = shapes.WHITE
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
    units: dict[Any, tuple[str, str, list[shapes.Rect]]] = field(default_factory=dict)


def sides_of(document: Document) -> tuple[Side, ...]:
    """Every card side in a laid-out document, in order; a side broken over pages appears once a page."""
    found: list[Side] = []
    sources: _Sources = {}
    for number, page in enumerate(page_boxes(document), start=1):
        found.extend(_sides_in(page, number, _Around(), sources))
    return tuple(found)


_Sources: TypeAlias = dict[Any, tuple[tuple[tuple[str, str], ...], tuple[str, ...]]]
"""Element of a side -> words and pictures of its source, which each page of it has again."""


def _sides_in(box: LaidBox, page: int, around: _Around, sources: _Sources) -> Iterator[Side]:
    element = box.element
    if box.own and element.get("data-card"):
        if element not in sources:
            sources[element] = tuple(source_words(element, "").items()), tuple(source_pictures(element))
        yield _side(box, page, around, *sources[element])
        return
    inner = replace(around, matrix=shapes.within(box.transform, around.matrix))
    if shapes.is_half_turn(inner.matrix):
        inner = replace(inner, matrix=shapes.IDENTITY)
    for child in box.children:
        yield from _sides_in(child, page, inner, sources)


def _side(
    box: LaidBox, page: int, around: _Around, words: tuple[tuple[str, str], ...], pictures: tuple[str, ...]
) -> Side:
    found = _Found()
    _walk(box, around, found)
    return Side(
        card=box.element.get("data-card"),
        name=box.element.get("data-side"),
        page=page,
        area=shapes.rect_of(shapes.within(box.transform, around.matrix), *box.border),
        foot_top=found.foot_top,
        inks=tuple(found.inks),
        words=words,
        pictures=pictures,
        punch=box.element.get("data-punch", ""),
        language=box.element.get("lang", ""),
        units=tuple(
            TextGroup(block=block, kind=kind, parts=tuple(parts)) for block, kind, parts in found.units.values()
        ),
    )


def _walk(box: LaidBox, around: _Around, found: _Found) -> None:
    if box.kind == "text":
        found.inks.append(_text(box, around))
        return
    children = box.children
    if box.kind == "line":  # only repeats what holds for the box around it
        for child in children:
            _walk(child, around, found)
        return
    inner = _inside(box, around)
    if box.element is not around.element and box.tag in UNITS:  # not the anonymous boxes inside it
        unit = found.units.setdefault(box.element, (inner.block, UNITS[box.tag], []))
        unit[2].append(shapes.rect_of(inner.matrix, *box.border))
    if not inner.flow and any(child.kind == "line" for child in children):
        found.flows += 1
        inner = replace(inner, flow=found.flows)
    found.inks.extend(_inks(box, inner))
    if box.own and box.element.get("data-foot"):
        top = shapes.rect_of(inner.matrix, *box.border).top
        found.foot_top = top if found.foot_top is None else min(top, found.foot_top)
    inner = _bounded(box, inner)
    for child in children:
        _walk(child, inner, found)


def _inside(box: LaidBox, around: _Around) -> _Around:
    """What holds for a box itself: its own marks, transform, ground and opacity added to those around it."""
    marks = {} if box.element is None else box.element.attrib
    part = marks.get("data-part") == "head"
    return _Around(
        matrix=shapes.within(box.transform, around.matrix),
        block=marks.get("data-block", around.block),
        bounds=around.bounds,
        ground=shapes.laid_over(box.background, around.ground, 1),
        opacity=around.opacity * box.opacity,
        decisive=around.decisive or "data-decisive" in marks,
        action=(around.action or marks.get("data-emphasis") == "action") and not part,
        decor=around.decor or "data-decor" in marks,
        flow=around.flow,
        head=around.head or part or box.tag in HEADS,
        element=box.element,
    )


def _bounded(box: LaidBox, around: _Around) -> _Around:
    """The bounds a box sets for what is inside it."""
    bounds = around.bounds
    if box.kind == "cell":
        bounds += (("cell", shapes.rect_of(around.matrix, *box.border)),)
    if box.clips:
        bounds += (("clip", shapes.rect_of(around.matrix, *box.padding)),)
    return around if bounds is around.bounds else replace(around, bounds=bounds)


def _inks(box: LaidBox, around: _Around) -> Iterator[LaidOutItem]:
    ink = _ink(box, around)
    if ink is not None:
        yield ink
    if ink is not None and ink.kind == "picture":
        yield from _in_picture(box, around)
    if any(box.drawn_edges):
        top, right, bottom, left = (
            width * shapes.scale_of(around.matrix) * shapes.MM_A_PX for width in box.drawn_edges
        )
        yield replace(_plain("rule", box, around), edges=(top, right, bottom, left))


def _in_picture(box: LaidBox, around: _Around) -> Iterator[LaidOutItem]:
    """The words of a picture, which must stay inside it."""
    (x, y, width, height), matrix, scale = box.content, around.matrix, shapes.scale_of(around.matrix)
    whole = shapes.rect_of(matrix, x, y, width, height)
    frame = replace(_plain("text", box, around), bounds=(*around.bounds, ("picture", whole)), picture=True)
    for words in words_in(box.element, width, height):
        size, ratio = words.size, x_height_ratio(face_for(words.weight))
        colour = (*(words.colour or around.ground), 1.0)
        left, baseline = x + words.left, y + words.baseline
        yield replace(
            frame,
            rect=shapes.rect_of(matrix, left, baseline - ASCENT * size, words.width, (ASCENT + DESCENT) * size),
            text=words.text,
            size_pt=size * PT_A_PX * scale,
            x_height=size * ratio * shapes.MM_A_PX * scale,
            weight=words.weight,
            core=shapes.rect_of(matrix, left, baseline - ratio * size, words.width, ratio * size),
            colour=shapes.laid_over(colour, around.ground, around.opacity),
            ground=around.ground,
        )


def _ink(box: LaidBox, around: _Around) -> LaidOutItem | None:
    if box.kind == "picture" and box.element is not None and box.element.get("data-qr"):
        return replace(_plain("qr", box, around), text=box.element.get("data-qr"))
    if box.kind in ("picture", "table"):
        return _plain(box.kind, box, around)
    if box.element is not None and box.element.get("data-block") and box.kind == "block":
        return _plain("block", box, around)
    return None


def _plain(kind: str, box: LaidBox, around: _Around) -> LaidOutItem:
    return LaidOutItem(
        kind=kind,
        block=around.block,
        rect=shapes.rect_of(around.matrix, *box.border),
        bounds=around.bounds,
        hidden=not box.visible or around.opacity == 0,
        decor=around.decor,
    )


def _text(box: LaidBox, around: _Around) -> LaidOutItem:
    size, weight, slanted = box.font
    left, baseline, width = box.line
    scale = shapes.scale_of(around.matrix)
    ratio = x_height_ratio(face_for(weight, slanted))
    ascent, descent = ASCENT, DESCENT
    if arabic.has_arabic(box.text):
        ratio, ascent, descent = min(ratio, arabic.body_ratio(weight)), arabic.ASCENT, arabic.DESCENT
    top, height = baseline - ascent * size, (ascent + descent) * size
    return LaidOutItem(
        kind="text",
        block=around.block,
        rect=shapes.rect_of(around.matrix, left, top, width, height),
        bounds=around.bounds,
        text=box.text,
        size_pt=size * PT_A_PX * scale,
        x_height=size * ratio * shapes.MM_A_PX * scale,
        weight=weight,
        core=shapes.rect_of(around.matrix, left, baseline - ratio * size, width, ratio * size),
        colour=shapes.laid_over(box.colour, around.ground, around.opacity),
        ground=around.ground,
        decisive=around.decisive,
        action=around.action,
        hidden=not box.visible,
        decor=around.decor,
        generated="::" in box.tag,
        flow=around.flow,
        head=around.head,
        baseline=shapes.rect_of(around.matrix, left, baseline, 0, 0).top,
    )
