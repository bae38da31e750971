"""An independent reader of pages: the standard library's parser, and no word of the builder's templates."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field
from html.parser import HTMLParser

DIGITS = re.compile(r"[0-9]+")
NAMES = ("title", "desc")
NOT_READ = ("script", "style", "title", "desc", "form")
"""Elements whose text no reader sees, or fills in alone."""


@dataclass(slots=True)
class PageRead:
    """What stands on a page."""

    ids: set[str] = field(default_factory=set)
    links: list[str] = field(default_factory=list)
    words: list[list[str]] = field(default_factory=list)
    """The text of each link, in pieces."""
    loads: list[str] = field(default_factory=list)
    figures: list[tuple[str, str]] = field(default_factory=list)
    """(link, text) of every printed figure."""
    hints: list[tuple[str, str, str]] = field(default_factory=list)
    """(link, what it is called, day it falls due) of the same, as handed to scripts and to pointers."""
    days: list[tuple[str, str]] = field(default_factory=list)
    """(day as ISO 8601, day as text) of each day that a script counts to."""
    names: list[str] = field(default_factory=list)
    """What the page and its drawings are called for those who do not see them, in pieces."""
    options: list[str] = field(default_factory=list)
    """What each choice of a form carries for its script, then its words."""
    main: list[str] = field(default_factory=list)
    """Text of the page itself, in pieces."""
    frame: list[str] = field(default_factory=list)
    """Text around it: head, navigation, foot."""
    sections: dict[str, str] = field(default_factory=dict)
    """Anchor of each heading -> text down to the next heading with an anchor."""
    text: str = ""
    """The text of the page itself, without any space."""

    @property
    def runs(self) -> list[str]:
        """The runs of digits of the page itself."""
        return DIGITS.findall("".join(self.main))


def packed(text: str) -> str:
    """Text without spaces, since readers disagree on where words end."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFC", text))


def read_page(html: str) -> PageRead:
    """A page as a reader finds it."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    reader.end_section()
    reader.page.text = packed("".join(reader.page.main))
    return reader.page


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.page = PageRead()
        self._main = 0
        self._silent = 0
        self._figure: tuple[str, list[str]] | None = None
        self._section = ""
        self._words: list[str] = []
        self._option = False
        self._day: str | None = None
        self._named = self._linked = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        if found.get("id"):
            self.page.ids.add(found["id"])
        if tag == "a" and found.get("href"):
            self.page.links.append(found["href"])
            self.page.words.append([])
            self._linked = True
        if tag in ("script", "img", "link", "iframe", "object", "source"):
            self.page.loads += [found[name] for name in ("src", "href", "data") if found.get(name)]
        if tag in NOT_READ:
            self._silent += 1
        if tag == "main":
            self._main += 1
        if tag in ("h2", "h3") and found.get("id"):
            self.end_section()
            self._section = found["id"]
        if tag == "a" and "fig" in found.get("class", "").split():
            self._figure = (found.get("href", ""), [])
            self.page.hints.append((found.get("href", ""), found.get("title", ""), found.get("data-due", "")))
        if tag == "option":
            self._option = True
            self.page.options += [value for name, value in found.items() if name.startswith("data-")]
        self._named = tag in NAMES
        if found.get("data-until"):
            self._day = found["data-until"]
        if tag not in ("span", "a", "strong", "b", "em", "code", "sub", "sup"):
            self._say(" ")

    def handle_endtag(self, tag: str) -> None:
        self._option = self._named = False
        if tag in NOT_READ:
            self._silent -= 1
        if tag == "main":
            self._main -= 1
        if tag == "a":
            self._linked = False
        if tag == "a" and self._figure:
            self.page.figures.append((self._figure[0], "".join(self._figure[1])))
            self._figure = None
        if tag not in ("span", "a", "strong", "b", "em", "code", "sub", "sup"):
            self._say(" ")

    def handle_data(self, data: str) -> None:
        if self._option:
            self.page.options.append(data)
        if self._day is not None:
            self.page.days.append((self._day, data))
            self._day = None
        if self._named:
            self.page.names += data.split("·")
        if self._silent:
            return
        if self._linked:
            self.page.words[-1].append(data)
        if self._figure:
            self._figure[1].append(data)
        self._say(data)

    def _say(self, data: str) -> None:
        (self.page.main if self._main else self.page.frame).append(data)
        self._words.append(data)

    def end_section(self) -> None:
        """The heading before this one has its whole text now."""
        if self._section:
            self.page.sections[self._section] = packed("".join(self._words))
        self._words = []
