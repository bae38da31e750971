"""Page numbers of a book's references: laid out, counted, set, and counted again.

The engine can set such numbers itself, but leaves the one before where a place moves over the end of a page meanwhile.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from builder.base.errors import RenderError
from builder.base.gc_pause import gc_now

if TYPE_CHECKING:
    from weasyprint import Document

    from builder.render.pdf import PdfEngine

LINK = re.compile(r'href="#([^"]*)"')
WIDTH = 3
"""Digits of a number whose page is not known yet."""
TRIES = 2
"""Times that numbers are set as they are; after that with zeros before them, so that none is wider than another."""


def settled(engine: PdfEngine, html: str, css: Sequence[str]) -> Document:
    """The laid-out document, each link inside it with ``data-page``, the number of the page that it leads to.

    :raises RenderError: when the engine cannot set it faithfully, or the numbers move the pages they name for ever.
    """
    first = shown = _trial(engine, numbered(html, {}, WIDTH), css)
    for _ in range(TRIES):
        document = engine.document(numbered(html, shown), css)
        before, shown = shown, pages_of(document)
        if shown == before:
            return document
        del document
        gc_now()
    width = max(WIDTH, len(str(max(first.values(), default=0))))
    document = engine.document(numbered(html, first, width), css)
    if pages_of(document) != first:
        raise RenderError("layout: the page numbers of its references move the pages that they name")
    return document


def _trial(engine: PdfEngine, html: str, css: Sequence[str]) -> dict[str, int]:
    """Where the places lie; the pages are given back, since those of a large site take gigabytes."""
    found = pages_of(engine.document(html, css))
    gc_now()
    return found


def numbered(html: str, pages: Mapping[str, int], width: int = 0) -> str:
    """The links inside a document with the numbers of their pages, filled with zeros to ``width``.

    >>> numbered('<a href="#zero">', {"zero": 7})
    '<a href="#zero" data-page="7">'
    >>> numbered('<a href="#zero">', {}, 3)
    '<a href="#zero" data-page="000">'
    """
    return LINK.sub(lambda link: f'{link[0]} data-page="{pages.get(link[1], 0):0{width}}"', html)


def pages_of(document: Document) -> dict[str, int]:
    """Number of the page, from 1, on which each place lies."""
    found: dict[str, int] = {}
    for number, page in enumerate(document.pages, start=1):
        for place in page.anchors:
            found.setdefault(place, number)
    return found
