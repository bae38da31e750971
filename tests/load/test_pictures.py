"""Pictures that a site brings: what draws is kept, all else is refused.

The attacks on drawings are those that the SVG specification makes possible (scripts, events, links, foreign markup,
styles that load, entities); the form of a PNG is that of its specification (W3C, third edition: signature, chunks with
length, name, body and CRC-32).
"""

from __future__ import annotations

import struct
import zlib
from xml.dom import minidom

import pytest

from builder.load.pictures import BIGGEST, SIGNATURE, harmless
from tests.each import each

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10">'


def told(data, name="templates/logo.svg"):
    _, problems = harmless(data if isinstance(data, bytes) else data.encode(), name)
    assert problems
    return [str(problem) for problem in problems]


def chunk(name, body):
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def png(width=2, height=1, extra=b""):
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    rows = zlib.compress((b"\0" + b"\xff\0\0" * width) * height)
    return SIGNATURE + chunk(b"IHDR", head) + extra + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def test_a_drawing_of_shapes_is_kept_as_it_draws():
    drawing = (
        HEAD + '\n<!-- a note --><?go x?><title>A &amp; B</title><g fill="#7a2e1d"><path d="M0 0 L5 5 Z"/></g></svg>'
    )
    made, problems = harmless(drawing.encode(), "templates/logo.svg")
    assert problems == ()
    tree = minidom.parseString(made.decode())  # noqa: S318 - our own text
    elements = tree.getElementsByTagName("*")
    assert [element.tagName for element in elements] == ["svg", "title", "g", "path"]
    assert elements[1].firstChild.data == "A & B"
    assert elements[3].getAttribute("d") == "M0 0 L5 5 Z"
    assert b"note" not in made
    assert harmless(made, "templates/logo.svg") == (made, ())


@each(
    ("inside", "found"),
    [
        ("<script>alert(1)</script>", "an element 'script' in a picture"),
        ('<path d="M0 0" onload="alert(1)"/>', "an attribute 'onload' in a picture"),
        ('<a href="https://example.org"><path d="M0 0"/></a>', "an element 'a' in a picture"),
        ('<image href="file:///etc/passwd"/>', "an element 'image' in a picture"),
        ('<use href="#x"/>', "an element 'use' in a picture"),
        ("<style>@import 'https://example.org/x.css';</style>", "an element 'style' in a picture"),
        ('<rect style="fill: url(https://example.org)"/>', "an attribute 'style' in a picture"),
        ('<rect fill="url(https://example.org)"/>', "'url(https://example.org)' for 'fill' in a picture"),
        ('<rect fill="javascript:alert(1)"/>', "'javascript:alert(1)' for 'fill' in a picture"),
        ("<foreignObject><p>x</p></foreignObject>", "an element 'foreignObject' in a picture"),
        ("<text>8 ppm</text>", "an element 'text' in a picture"),
        ("<g>8 ppm</g>", "words in a picture"),
        ('<animate attributeName="x"/>', "an element 'animate' in a picture"),
        ('<html:p xmlns:html="http://www.w3.org/1999/xhtml"/>', "an element 'p' in a picture"),
        ("<svg/>", "a picture in a picture"),
    ],
)
def test_whatever_does_more_than_draw_is_refused_with_its_line(inside, found):
    lines = told(f"{HEAD}\n\n{inside}\n</svg>")
    assert lines[0].startswith(f"templates/logo.svg:3: {found}; allowed: ")


def test_entities_are_not_even_read():
    bomb = '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;">]>' + HEAD + "<title>&b;</title></svg>"
    assert told(bomb)[0].startswith("templates/logo.svg:1: a document type, in which other files can be named")


@pytest.mark.parametrize(
    ("data", "found"),
    [
        ("<svg", "templates/logo.svg:1: no drawing that can be read: "),
        ('<svg xmlns="http://www.w3.org/2000/svg"/>', "templates/logo.svg:1: a picture without viewBox"),
        ("<html/>", "templates/logo.svg:1: a picture that is a 'html'"),
        (b"x" * (BIGGEST + 1), f"templates/logo.svg:1: {BIGGEST + 1} bytes"),
    ],
)
def test_what_is_no_drawing_is_refused(data, found):
    assert told(data)[0].startswith(found)


def test_of_a_png_only_what_draws_is_kept():
    secret = chunk(b"tEXt", b"Author\0somebody") + chunk(b"eXIf", b"where it was taken")
    assert harmless(png(extra=secret), "templates/logo.png") == (png(), ())
    assert harmless(png() + b"more behind", "templates/logo.png") == (png(), ())


@each(
    ("data", "found"),
    [
        (b"GIF89a", "no PNG, whatever its name says"),
        (png()[:-6], "a PNG that is damaged"),
        (png().replace(b"IDAT", b"IDAX"), "a PNG that is damaged"),
        (SIGNATURE, "a PNG that is not whole"),
        (png(width=3000), "a picture of 3000 by 1 pixels"),
        (SIGNATURE + b"\0", "unpack requires a buffer of 4 bytes"),
    ],
)
def test_a_png_that_is_none_is_refused(data, found):
    (line,) = told(data, "templates/logo.png")
    assert line.startswith(f"templates/logo.png:1: {found}")
