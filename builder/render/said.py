"""Every run of digits in a document for the PDF engine, what its style sheets add included, as a reader meets it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

DIGITS = re.compile(r"[0-9]+")
REFERENCE = "→"
"""Begins a run that stands for the number of the page on which its anchor lies."""
UNSEEN = ("head", "title", "desc", "style", "script")
INLINE = ("span", "a", "strong", "b", "em", "code", "sub", "sup", "tspan", "i", "bdi")
"""Elements that do not end a word."""
INLINE_MARKERS = "steps"
"""Class of lists whose numbers stand in their lines; those of other lists are drawn once their page is."""
UNCOUNTED = "uses"
"""Class of paragraphs whose links are followed by no number of a page."""
RESET = re.compile(r"counter-reset: list-item (-?[0-9]+)")
VOID = ("meta", "link", "br", "img", "col", "path", "line", "rect", "circle", "polyline", "polygon", "hr", "input")


@dataclass(slots=True)
class Said:
    """The runs of a document, in the order of its source."""

    runs: list[str] = field(default_factory=list)
    heads: list[str] = field(default_factory=list)
    """The runs of each head of a table, parted by spaces; the engine repeats a head on every page of its table."""
    foot: list[str] = field(default_factory=list)
    """The runs that stand at the foot of every page."""
    loose: bool = False
    """Whether readers disagree on the order: numbers of a list drawn apart from its lines, text from right to left."""


def said(html: str, *, drawings: bool = True, references: bool = False) -> Said:
    """Read a document.

    :param drawings: whether the words of pictures count.
    :param references: whether the style sheet puts page numbers behind links and before entries of the contents.

    >>> said('<p>At <b>19.5</b> %</p><ol><li>Go</li><li>Tell 2</li></ol>').runs
    ['19', '5', '1', '2', '2']
    """
    reader = _Reader(drawings=drawings, references=references)
    reader.feed(html)
    reader.close()
    reader.end_word()
    return reader.said


class _Reader(HTMLParser):
    def __init__(self, *, drawings: bool, references: bool) -> None:
        super().__init__(convert_charrefs=True)
        self.said = Said()
        self._unseen = (*UNSEEN, *(() if drawings else ("svg",)))
        self._references = references
        self._open: list[tuple[str, str]] = []
        """(element, class) of everything open."""
        self._lists: list[int] = []
        self._words: list[str] = []
        self._head: list[str] | None = None
        self._after = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        parent, kind = self._open[-1] if self._open else ("", "")
        if tag not in VOID:
            self._open.append((tag, found.get("class", "")))
        if tag not in INLINE:
            self.end_word()
        self.said.loose = self.said.loose or found.get("dir") == "rtl"
        if tag in ("ol", "ul"):
            reset = RESET.search(found.get("style", ""))
            first = int(reset[1]) + 1 if reset else int(found.get("start", "1"))
            self._lists.append(first if tag == "ol" else 0)
            self.said.loose = self.said.loose or (tag == "ol" and INLINE_MARKERS not in found.get("class", "").split())
        elif tag == "li" and self._lists and self._lists[-1]:
            self._take([str(self._lists[-1])])
            self._lists[-1] += 1
        elif tag == "thead":
            self._head = []
        elif tag == "a" and self._references and found.get("href", "").startswith("#"):
            mark = f"{REFERENCE}{found['href'][1:]}"
            if kind == "entry":
                self._take([mark])
            elif parent in ("p", "li") and kind != UNCOUNTED and "ref" in found.get("class", "").split():
                self._after = mark

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID or not self._open:
            return
        if tag not in INLINE:
            self.end_word()
        if tag == "a" and self._after:
            self.end_word()
            self._take([self._after])
            self._after = ""
        if tag in ("ol", "ul") and self._lists:
            self._lists.pop()
        if tag == "thead" and self._head is not None:
            self.said.heads += [" ".join(self._head)] if self._head else []
            self._head = None
        self._open.pop()

    def handle_data(self, data: str) -> None:
        if not any(tag in self._unseen for tag, _ in self._open):
            self._words.append(data)

    def end_word(self) -> None:
        """What was gathered is whole now."""
        self._take(DIGITS.findall("".join(self._words)))
        self._words = []

    def _take(self, runs: list[str]) -> None:
        if any(name == "run-foot" for _, name in self._open):
            self.said.foot += runs
            return
        self.said.runs += runs
        if self._head is not None:
            self._head += runs
