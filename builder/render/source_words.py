"""What a printed document must say, taken from its source and its style sheets without laying it out.

An engine that reads instead of printing: wherever a document would be laid out and written, its words come out, in a
hundredth to a third of the time. Whoever holds a PDF against them holds every word and digit in its order.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, field
from html import unescape
from typing import TYPE_CHECKING, Any

from builder.base.record import dataclass
from builder.render.pdf import PageBoxes, PdfEngine

if TYPE_CHECKING:
    from builder.render.engine import LaidBox

CHAPTER = "chapter-"
"""Begins the place where a chapter of a book begins; its number follows."""
LAST_PAGE = "last page of "
"""Begins what is no place in a book, and tells how many pages a chapter has."""
IDS = re.compile(r'\bid="([^"]*)"')
QUOTED = re.compile(r'"((?:[^"\\]|\\.)*)"')
ESCAPE = re.compile(r"\\[0-9A-Fa-f]{1,6} ?|\\")
SIDES = ("right", "left")
"""Classes of what stands around a page of a book (frames.html)."""
DRAWN_WORDS = ("text", "{http://www.w3.org/2000/svg}text")


@dataclass(slots=True)
class SourceWords:
    """The words of a document."""

    words: list[str] = field(default_factory=list)
    """In the order of the source, those of pictures and those that style sheets add included."""
    around: dict[str, list[str]] = field(default_factory=dict)
    """What may stand at the head or foot of pages: name of a text -> the texts that take turns under it."""
    quoted: list[str] = field(default_factory=list)
    """Texts of the style sheets themselves, such as "Page"."""
    fixed: list[str] = field(default_factory=list)
    """What is drawn again on every page, in order."""
    heads: list[str] = field(default_factory=list)
    """The head of each table, which is drawn again on each page of the table."""
    sides: list[str] = field(default_factory=list)
    """What stands around a right-hand and a left-hand page, for each part of a book in turn."""
    frames: dict[str, list[str]] = field(default_factory=dict)
    """The same of a joined book: what numbers of a part's pages begin with -> its right-hand and left-hand pages."""

    def written(self) -> bytes:
        """As bytes that stand where the PDF would."""
        return json.dumps(asdict(self), ensure_ascii=False).encode()

    @staticmethod
    def read(data: bytes) -> SourceWords:
        """From such bytes."""
        return SourceWords(**json.loads(data))


class WordsEngine(PdfEngine):
    """Hands out the words of documents wherever they would be laid out and written."""

    lays_out = False

    def __init__(self) -> None:
        super().__init__()
        self.places: Mapping[str, Mapping[str, int]] = {}
        """Title of a PDF -> page of each place in it, as it was printed; those that are not known are on page 0."""

    def places_in(self, html: str, title: str) -> tuple[tuple[str, int], ...]:
        """Each place of a document, on the page where the printed one has it."""
        known = self.places.get(title, {})
        return tuple((name, known.get(name, 0)) for name in map(unescape, IDS.findall(html)))

    def pages_in(self, html: str, title: str) -> int:
        """How many pages the chapter has in the printed book; none where that is not known."""
        known = self.places.get(title, {})
        return next((known.get(LAST_PAGE + name, 0) for name in IDS.findall(html) if name.startswith(CHAPTER)), 0)

    def document(self, html: str, css: Sequence[str]) -> Any:
        """Its words, as a document without pages."""
        found = SourceWords(quoted=[ESCAPE.sub("", text) for sheet in css for text in QUOTED.findall(sheet)])
        _gather(self.unlaid(html, css), found, "")
        return _Unlaid(found)

    def write(  # as printed
        self,
        document: Any,
        title: str,  # noqa: ARG002
        language: str,  # noqa: ARG002
        second: str = "",  # noqa: ARG002
        boxes: Sequence[PageBoxes] = (),  # noqa: ARG002
    ) -> bytes:
        """Those words as bytes."""
        return document.found.written()  # type: ignore[no-any-return]  # the engine's documents are of any kind


@dataclass(frozen=True, slots=True)
class _Unlaid:
    """Stands for a laid-out document."""

    found: SourceWords
    pages: tuple[()] = ()


def words_joined(parts: Sequence[tuple[str, bytes]], frames: bytes) -> bytes:
    """The words of documents that are joined to one; those of ``frames`` stand around them.

    :param parts: what the numbers of the pages of each begin with, and its words; those of one chapter share it.
    """
    whole, sides = SourceWords(), SourceWords.read(frames).sides
    for label, part in ((label, SourceWords.read(data)) for label, data in parts):
        whole.words += part.words
        whole.heads += part.heads
        at = 2 * len(whole.frames)
        whole.frames.setdefault(label, sides[at : at + 2])
    return whole.written()


def words_together(parts: Iterable[bytes]) -> bytes:
    """The words of documents that are drawn on the same pages, one after the other."""
    whole = SourceWords()
    for part in map(SourceWords.read, parts):
        whole.words += part.words
        whole.heads += part.heads
        whole.quoted += part.quoted
    return whole.written()


def _gather(box: LaidBox, found: SourceWords, running: str) -> None:
    """Add the words of a box and all below it; ``running`` names what stands at the head or foot of pages."""
    for name, text in box.strings:
        found.around.setdefault(name, []).append(text)
    if box.running and not running:
        running = f"running {len(found.around)}"
        found.around[running] = ["".join(_texts(box))]
    if box.fixed:
        found.fixed.append("".join(_texts(box)))
    if box.tag == "div" and box.own and box.element.get("class") in SIDES:
        found.sides.append("".join(_texts(box)))
    if box.heads_table:
        found.heads.append("".join(_texts(box)))
    if box.kind in ("text", "picture"):
        found.words += () if running else _texts(box)
        return
    for child in box.children:
        _gather(child, found, running)


def _texts(box: LaidBox) -> Iterator[str]:
    if not box.visible:
        return
    if box.kind == "text":
        yield box.text
    elif box.kind == "picture":
        if box.element is not None:
            yield from ("".join(part.itertext()) for part in box.element.iter() if part.tag in DRAWN_WORDS)
    else:
        for child in box.children:
            yield from _texts(child)
