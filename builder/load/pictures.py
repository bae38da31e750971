"""Pictures that a site brings, made harmless: only what draws is kept, all else is refused with its line."""

import struct
import zlib
from collections.abc import Iterator

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.nearest import nearest
from builder.base.where import Where
from builder.load.drawing import SVG, Element, read_drawing

BIGGEST = 200_000
"""Bytes a picture may have: it stands on every page."""
WIDEST = 2_000
"""Pixels a side of a PNG may have."""
ELEMENTS = ("svg", "g", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "title", "desc")
WORDS = ("title", "desc")
ATTRIBUTES = (
    *("viewBox", "width", "height", "d", "x", "y", "rx", "ry", "cx", "cy", "r", "x1", "y1", "x2", "y2", "points"),
    *("fill", "fill-rule", "fill-opacity", "stroke", "stroke-width", "stroke-linecap", "stroke-linejoin"),
    *("stroke-opacity", "stroke-miterlimit", "opacity", "clip-rule", "transform", "version"),
)
SIGNATURE = b"\x89PNG\r\n\x1a\n"
CHUNKS = (b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND")
"""What of a PNG draws; words, places, times and colour profiles in it are left out."""
DRAWS = "shapes alone: " + ", ".join(ELEMENTS)


def harmless(data: bytes, file: str) -> tuple[bytes, tuple[Problem, ...]]:
    """A picture with nothing in it but what draws, or what is wrong with it."""
    if len(data) > BIGGEST:
        found = f"{len(data)} bytes"
        return b"", (Problem(Where(file, 1), found, f"a picture of at most {BIGGEST} bytes", kind=Kind.TOO_BIG),)
    if file.endswith(".svg"):
        return _svg(data, file)
    try:
        return _png(data), ()
    except (ValueError, struct.error, zlib.error) as error:
        allowed = f"a PNG of at most {WIDEST} by {WIDEST} pixels"
        return b"", (Problem(Where(file, 1), str(error), allowed, kind=Kind.PICTURE),)


# ---- drawings ------------------------------------------------------------------


def _svg(data: bytes, file: str) -> tuple[bytes, tuple[Problem, ...]]:
    try:
        drawing, problems = read_drawing(data.decode("utf-8-sig"), file)
    except UnicodeDecodeError:
        return b"", (Problem(Where(file, 1), "no text in UTF-8", "an SVG drawing in UTF-8", kind=Kind.PICTURE),)
    if drawing is None:
        return b"", problems
    found = [*_top(drawing), *_faults(drawing)]
    return _written(drawing, f' xmlns="{SVG}"').encode(), tuple(found)


def _top(drawing: Element) -> Iterator[Problem]:
    if drawing.tag != "svg":
        yield _refused(drawing, f"a picture that is a {drawing.tag!r}")
    elif "viewBox" not in drawing.attributes:
        yield _refused(drawing, "a picture without viewBox")
    for child in drawing.children:
        yield from (_refused(part, "a picture in a picture") for part in _all(child) if part.tag == "svg")


def _all(element: Element) -> Iterator[Element]:
    yield element
    for child in element.children:
        yield from _all(child)


def _faults(drawing: Element) -> Iterator[Problem]:
    """Whatever does more than draw."""
    for element in _all(drawing):
        if element.tag not in ELEMENTS:
            local = element.tag.rpartition(" ")[2]
            yield _refused(element, f"an element {local!r} in a picture", nearest(local, ELEMENTS))
        for key, value in element.attributes.items():
            if key not in ATTRIBUTES:
                local = key.rpartition(" ")[2]
                yield _refused(element, f"an attribute {local!r} in a picture", nearest(local, ATTRIBUTES))
            elif any(sign in value for sign in ("(", ":", "@", "&", "<")) and key != "transform":
                yield _refused(element, f"{value!r} for {key!r} in a picture")
        if element.text.strip() and element.tag in ELEMENTS and element.tag not in WORDS:
            yield _refused(element, "words in a picture")


def _refused(element: Element, found: str, near: tuple[str, ...] = ()) -> Problem:
    return Problem(element.where, found, DRAWS, near, Kind.PICTURE)


def _written(element: Element, space: str = "") -> str:
    """The drawing as text again; of what it was read from nothing is left but elements and attributes."""
    from xml.sax.saxutils import escape, quoteattr  # noqa: PLC0415 - loads what speaks to networks, for a rare picture

    attributes = "".join(f" {key}={quoteattr(value)}" for key, value in element.attributes.items())
    inside = escape(element.text.strip()) + "".join(_written(child) for child in element.children)
    return f"<{element.tag}{space}{attributes}>{inside}</{element.tag}>"


# ---- pixels --------------------------------------------------------------------


def _png(data: bytes) -> bytes:
    """The chunks that draw.

    :raises ValueError: for what is no whole PNG, or too large.
    """
    kept = list(_chunks(data))
    names = [name for name, _ in kept]
    if not kept or names[0] != b"IHDR" or names[-1] != b"IEND" or b"IDAT" not in names:
        raise ValueError("a PNG that is not whole")
    width, height = struct.unpack(">II", kept[0][1][:8])
    if not (0 < width <= WIDEST and 0 < height <= WIDEST):
        raise ValueError(f"a picture of {width} by {height} pixels")
    return SIGNATURE + b"".join(
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body)) for name, body in kept
    )


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    if not data.startswith(SIGNATURE):
        raise ValueError("no PNG, whatever its name says")
    at = len(SIGNATURE)
    while at < len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        name, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        if data[at + 8 + length : at + 12 + length] != struct.pack(">I", zlib.crc32(name + body)):
            raise ValueError("a PNG that is damaged")
        if name in CHUNKS:
            yield name, body
        at += 12 + length
        if name == b"IEND":
            return
