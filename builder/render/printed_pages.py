"""Pages of running text as they were laid out: what stands where, in millimetres."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from builder.base.record import dataclass
from builder.render.engine import LaidBox, page_boxes
from builder.render.shapes import MM_A_PX

if TYPE_CHECKING:
    from weasyprint import Document

Span = tuple[float, float, float, float]
"""Left, top, right and bottom, in mm."""
HEADINGS = ("h1", "h2", "h3", "h4")


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of text, a picture or a table."""

    kind: str
    """``text``, ``picture`` or ``table``."""
    span: Span
    words: str = ""
    heading: bool = False
    """Whether it belongs to a heading."""
    table: str = ""
    """Caption or first words of the table that it stands in."""
    table_head: bool = False
    """Whether it stands in the head of a table."""
    cell: Span | None = None
    """The cell that it stands in."""


@dataclass(frozen=True, slots=True)
class PrintedPage:
    """One page."""

    area: Span
    """Where text may stand."""
    pieces: tuple[Piece, ...]
    """In reading order."""


def pages_of(document: Document) -> tuple[PrintedPage, ...]:
    """Every page, measured."""
    return tuple(
        PrintedPage(_span(page.content), tuple(found for child in page.children for found in _pieces(child, _ROOT)))
        for page in page_boxes(document)
    )


_ROOT = Piece("", (0, 0, 0, 0))


def _pieces(box: LaidBox, around: Piece) -> Iterator[Piece]:
    if box.kind == "margin" or not box.visible:
        return
    inner = _inside(box, around)
    if box.kind == "text":
        if box.text.strip():
            left, baseline, width = box.line
            size = box.font[0]
            yield replace(
                inner, kind="text", words=box.text, span=_span((left, baseline - size * 0.7, width, size * 0.9))
            )
        return
    if box.kind in ("picture", "table"):
        yield replace(inner, kind=box.kind, span=_span(box.border))
    for child in box.children:
        yield from _pieces(child, inner)


def _inside(box: LaidBox, around: Piece) -> Piece:
    if box.kind == "cell":
        return replace(around, cell=_span(box.border))
    if not box.own:
        return around
    if box.tag in HEADINGS:
        return replace(around, heading=True)
    if box.tag == "thead":
        return replace(around, table_head=True)
    if box.tag == "table":
        return replace(around, table=_name(box.element), cell=None)
    return around


def _name(element: Any) -> str:
    caption = element.find("caption")
    words = " ".join("".join((element if caption is None else caption).itertext()).split())
    return words if len(words) <= 40 else f"{words[:40]} …"  # noqa: PLR2004 - long enough to be found


def _span(frame: tuple[float, float, float, float]) -> Span:
    left, top, width, height = (length * MM_A_PX for length in frame)
    return left, top, left + width, top + height
