"""A drawing (SVG) as plain elements with their lines; nothing that a document type or another file could bring in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field
from typing import Final
from xml.parsers import expat

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.record import dataclass
from builder.base.where import Where

SVG: Final = "http://www.w3.org/2000/svg"
DEEPEST: Final = 40
MOST: Final = 3000
"""Elements of a drawing that anybody can read on a page."""


@dataclass(slots=True)
class Element:
    """An element of a drawing, judged by nobody."""

    tag: str
    """Its name in SVG; of another language with the address of that before it."""
    attributes: dict[str, str]
    where: Where
    text: str = ""
    children: list[Element] = field(default_factory=list)

    def texts(self) -> Iterator[tuple[Where, str]]:
        """Every text with its place."""
        if self.text.strip():
            yield self.where, self.text
        for child in self.children:
            yield from child.texts()


def read_drawing(text: str, file: str) -> tuple[Element | None, tuple[Problem, ...]]:
    """The outermost element, and why there is none."""
    reader = _Reader(file)
    try:
        reader.parser.Parse(text.encode(), True)
    except expat.ExpatError as error:
        found = f"no drawing that can be read: {expat.ErrorString(error.code)}"
        return None, (Problem(Where(file, error.lineno), found, "a whole SVG file", kind=Kind.SHAPE),)
    except _Refused as refused:
        where = Where(file, reader.parser.CurrentLineNumber)
        return None, (Problem(where, str(refused), "shapes and words alone", kind=Kind.SHAPE),)
    return reader.whole, ()


class _Refused(Exception):  # noqa: N818 - never leaves this module
    """Why a drawing is read no further."""


class _Reader:
    def __init__(self, file: str) -> None:
        self.whole: Element | None = None
        self._file = file
        self._open: list[Element] = []
        self._count = 0
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._words
        self.parser.StartDoctypeDeclHandler = self._document_type

    def _document_type(self, *_: object) -> None:
        raise _Refused("a document type, in which other files can be named")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self._count += 1
        if len(self._open) >= DEEPEST or self._count > MOST:
            raise _Refused(f"more than {MOST} elements, or more than {DEEPEST} inside each other")
        tag = name.removeprefix(f"{SVG} ")
        made = Element(tag, attributes, Where(self._file, self.parser.CurrentLineNumber))
        if self._open:
            self._open[-1].children.append(made)
        else:
            self.whole = made
        self._open.append(made)

    def _end(self, _: str) -> None:
        self._open.pop()

    def _words(self, text: str) -> None:
        self._open[-1].text += text
