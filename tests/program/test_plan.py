"""A plan of the areas is rebuilt of lines and words; what could run, load, hide or lead elsewhere is refused by line.

The list of dangers is that of the SVG 1.1 and 2 specifications (W3C): script, event attributes, links and references,
foreign content, animation, style sheets, external entities.
"""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from builder.load.drawing import read_drawing
from builder.pages.blocks import Drawing
from builder.program.faults import Faults
from builder.program.plan import DRAWN, read_plan
from builder.render.plan_svg import plan_svg
from builder.render.svg import PAPER, SCREEN
from tests.each import each

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 330 165">'
PIT = '<g id="pit" font-size="8"><rect x="10" y="10" width="50" height="30"/><text x="12" y="20">Valve pit</text></g>'
AREAS = frozenset({"pit", "shaft"})


def plan(inside, head=HEAD):
    drawing, problems = read_drawing(f"{head}\n{inside}\n</svg>", "plan.svg")
    faults = Faults(problems)
    return read_plan(drawing, AREAS, faults), [str(problem) for problem in faults.problems]


def drawn(made, resolve=lambda reference: f"{reference.partition(':')[2]}.html", look=SCREEN):
    return plan_svg(Drawing("Plan", "How.", made, {"pit": "Valve pit & lid"}), resolve, look, "plan")


REFUSALS = {
    "a script": "<script>alert(1)</script>",
    "an event": '<rect width="1" height="1" onclick="alert(1)"/>',
    "an event of a group": '<g onmouseover="x"/>',
    "foreign content": "<foreignObject><p xmlns='http://www.w3.org/1999/xhtml'>x</p></foreignObject>",
    "a picture": '<image href="https://example.invalid/a.png"/>',
    "a reference": '<use href="#x"/>',
    "a link": '<a href="https://example.invalid/"><rect width="1" height="1"/></a>',
    "an old link": '<rect width="1" height="1" xlink:href="javascript:x"/>',
    "animation": '<animate attributeName="x" to="1"/>',
    "a style sheet": "<style>@import url(https://example.invalid/a.css);</style>",
    "a style that loads": '<rect width="1" height="1" style="fill:url(https://example.invalid/a)"/>',
    "a style that hides": '<rect width="1" height="1" style="display:none"/>',
    "something hidden": '<rect width="1" height="1" visibility="hidden"/>',
    "a mask": '<rect width="1" height="1" mask="url(#m)"/>',
    "a number that is none": '<rect x="1;2" width="1" height="1"/>',
    "a path that is none": '<path d="M0 0 url(x)"/>',
    "letters of another size": '<g transform="scale(0.1)"/>',
    "small letters": '<text x="1" y="1" font-size="3">x</text>',
    "letters of no size": '<text x="1" y="1">x</text>',
    "words in words": '<text x="1" y="1" font-size="8"><tspan><tspan>x</tspan></tspan></text>',
    "an area twice": '<circle id="pit" cx="1" cy="1" r="1"/>',
}


@each("name", REFUSALS)
def test_what_is_more_than_lines_and_words_is_refused_with_its_line(name):
    made, told = plan(f"{PIT}\n{REFUSALS[name]}")
    assert made is None
    assert len(told) == 1
    assert told[0].startswith("plan.svg:3: ")


@each(
    ("text", "said"),
    [
        (
            '<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]><svg viewBox="0 0 330 165">&a;</svg>',
            "a document type",
        ),
        ("<svg viewBox='0 0 330 165'><g></svg>", "no drawing that can be read"),
        (f"{HEAD}{'<g>' * 60}{'</g>' * 60}</svg>", "inside each other"),
        (f"{HEAD}{'<g/>' * 3001}</svg>", "more than 3000 elements"),
        ("", "no drawing that can be read"),
    ],
)
def test_what_cannot_be_read_whole_is_refused(text, said):
    drawing, problems = read_drawing(text, "plan.svg")
    assert drawing is None
    assert said in str(problems[0])


@pytest.mark.parametrize("head", ["<svg>", '<svg viewBox="0 0 330 2000">', '<svg viewBox="0 0 0 0">', "<g>"])
def test_a_drawing_that_fits_no_page_is_refused(head):
    drawing, _ = read_drawing(f"{head}{PIT}</{head[1:].split()[0].rstrip('>')}>", "plan.svg")
    faults = Faults()
    assert read_plan(drawing, AREAS, faults) is None
    assert "viewBox" in str(faults.problems[0])


def test_a_drawing_without_an_area_is_refused():
    assert "no area is drawn" in plan('<rect id="elsewhere" width="9" height="9"/>')[1][0]


def test_ink_faces_and_layers_of_a_drawing_program_are_left_out():
    clutter = (
        '<metadata>x</metadata><defs><linearGradient id="a"/></defs><title>t</title>'
        '<layer xmlns="urn:x-program" hidden="1"/>'
        '<rect class="wall" fill="red" style="stroke:#000;stroke-width:2" width="9" height="9" stroke-dasharray="2 1"/>'
    )
    made, told = plan(clutter + PIT)
    assert told == []
    assert [(part.tag, dict(part.attributes)) for part in made.parts[:1]] == [
        ("rect", {"width": "9", "height": "9", "stroke-dasharray": "2 1"})
    ]
    assert made.areas == ("pit",)


def test_on_a_screen_an_area_is_a_link_with_its_name_and_on_paper_it_is_none():
    made, _ = plan(PIT)
    screen, paper = drawn(made), drawn(made, lambda _: "", PAPER)
    assert '<a href="pit.html" pointer-events' in screen, "the words in the shape name the link"
    bare, _ = plan('<rect id="pit" x="10" y="10" width="50" height="30"/>')
    assert '<a href="pit.html" aria-label="Valve pit &amp; lid"' in drawn(bare)
    assert 'role="group"' in screen
    assert "<a " not in paper
    assert 'role="img"' in paper
    for text in (screen, paper):
        tags = {element.tag.rpartition("}")[2] for element in ET.fromstring(text).iter()}  # noqa: S314 - our own
        assert tags <= {*DRAWN, "svg", "title", "a"}


def test_words_stay_words():
    made, told = plan(
        '<g id="pit" font-size="8"><text x="1" y="9">&lt;b onclick="x"&gt;<tspan y="20">low</tspan></text></g>'
    )
    assert told == []
    text = drawn(made)
    assert "&lt;b onclick=&quot;x&quot;&gt;" in text
    assert re.search(r'<text x="1" y="20" font-size="8"[^>]*>low</text>', text)
