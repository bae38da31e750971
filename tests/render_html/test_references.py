"""Page numbers of references inside a book: they name the page on which the place really lies."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from types import SimpleNamespace

import pytest

from builder.base.errors import RenderError
from builder.render.pdf import PdfEngine
from builder.render.references import pages_of, settled

CSS = """
@page { size: 100mm 40mm; margin: 5mm; font-family: "Handbook Sans" }
html { font-family: "Handbook Sans"; font-size: 10pt; line-height: 1.4 }
p { margin: 0; orphans: 1; widows: 1 }
a::after { content: " (page " attr(data-page) ")"; font-variant-numeric: tabular-nums }
"""


@pytest.fixture(scope="module")
def engine():
    with PdfEngine() as engine:
        yield engine


def words_of(document):
    """The words of each page as the laid-out boxes have them."""
    return [" ".join(box.text for box in _boxes(page._page_box) if hasattr(box, "text")) for page in document.pages]


def _boxes(box):
    yield box
    for child in getattr(box, "children", ()):
        yield from _boxes(child)


def book(lines, *, before=""):
    links = "".join(f'<p>{before}See <a href="#p{n}">there</a></p>' for n in range(lines))
    places = "".join(f'<h2 id="p{n}">Place {n}</h2>' for n in range(lines))
    return f"<html><body>{links}{places}</body></html>"


@pytest.mark.parametrize("lines", [1, 7, 30])
@pytest.mark.parametrize("before", ["", "word " * 9, "word " * 10, "word " * 11, "w" * 52 + " ", "w" * 54 + " "])
def test_every_reference_names_the_page_of_its_place(engine, lines, before):
    document = settled(engine, book(lines, before=before), [CSS])
    words, places = words_of(document), pages_of(document)
    text = " ".join(words).split(")")
    for number in range(lines):
        assert f"Place {number}" in words[places[f"p{number}"] - 1]
        assert int(text[number].rpartition("page ")[2]) == places[f"p{number}"]


@dataclass
class Moving:
    """An engine made up for the test: the one place of its document lies on the page that ``place`` says."""

    place: Callable[[str], int]

    def document(self, html, _css):
        lies_on = self.place(html.partition('data-page="')[2].partition('"')[0])
        pages = [SimpleNamespace(anchors={"p": (0, 0)} if n == lies_on else {}) for n in range(1, 13)]
        return SimpleNamespace(pages=pages, html=html)


def test_numbers_that_move_their_own_page_for_ever_are_set_with_zeros_before_them():
    # A number of two digits leaves its place on page 9, one digit lets it slip to page 10.
    moving = Moving(lambda shown: 9 if len(shown) == 2 else 10)
    document = settled(moving, '<a href="#p">', [])
    assert (document.html, pages_of(document)) == ('<a href="#p" data-page="010">', {"p": 10})


def test_numbers_that_cannot_be_settled_are_refused():
    with pytest.raises(RenderError, match="move the pages that they name"):
        settled(Moving(lambda shown: (int(shown) + 1) % 12 + 1), '<a href="#p">', [])
