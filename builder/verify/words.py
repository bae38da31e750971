"""A PDF that was read held against the words that it must say: every word and digit, in order."""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import accumulate, groupby
from typing import TYPE_CHECKING

from builder.base.grouping import grouped
from builder.render.source_words import SourceWords
from builder.verify.report import Difference

if TYPE_CHECKING:
    from builder.verify.paper import Line, Paper

UNSEEN = re.compile(r"[\s\u00ad\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069]+")
"""Spaces, places where a word may be parted, and marks of direction: the engine sets them as lines need them."""
AHEAD, LINES = 4000, 40
"""How far, in letters and in lines, the words are looked for that follow a difference."""
SHORTEST = 4
"""Letters of a line by which it is known again."""
SHOWN = 160
"""Letters of a text that a difference shows."""


def packed(text: str) -> str:
    r"""A text without what is not seen of it.

    >>> packed("19.5\u00a0%vol\n low")
    '19.5%vollow'
    """
    return UNSEEN.sub("", text)


def paper_differences(path: str, source: SourceWords, paper: Paper) -> Iterator[Difference]:
    """What a PDF says otherwise than it must; ``path`` names it."""
    if any(map(_is_rtl, sorted(set("".join(source.words))))):
        yield from _in_any_direction(path, source.words, paper.lines)
        return
    yield from _Reading(path, source, paper.lines).differences()
    yield from _framed(path, source, paper) if source.frames else _around(path, source, paper)


class _Reading:
    """Goes through source and lines side by side."""

    def __init__(self, path: str, source: SourceWords, lines: Iterable[Line]) -> None:
        self._path = path
        self._words = source.words
        self._ends = list(accumulate(len(packed(text)) for text in source.words))
        self._wanted = "".join(map(packed, source.words))
        self._fixed = packed("".join(source.fixed))
        self._heads = {packed(head) for head in source.heads}
        self._parts = list(self._in_parts(lines))
        self._at = 0

    @staticmethod
    def _in_parts(lines: Iterable[Line]) -> Iterator[tuple[int, bool, str]]:
        """(page, whether it is the head of a table, packed text): a head in one part, all else line by line."""
        for (page, in_head), group in groupby(lines, key=lambda line: (line.page, line.in_head)):
            texts = [packed(line.text) for line in group]
            yield from ((page, in_head, text) for text in (["".join(texts)] if in_head else texts) if text)

    def differences(self) -> Iterator[Difference]:
        """Each place where they part."""
        yield from self._begin_pages()
        number = 0
        while number < len(self._parts):
            _, in_head, text = self._parts[number]
            if self._wanted.startswith(text, self._at):
                self._at += len(text)
            elif in_head and (rest := self._below_head(number)):
                self._at += len(rest)
            elif not (in_head and text in self._heads):
                number, told = self._parted(number)
                yield told
                continue
            number += 1
        if self._at < len(self._wanted):
            yield Difference(self._path, "its end is missing", self._between(self._at, len(self._wanted)), "")

    def _below_head(self, number: int) -> str:
        """The head that follows a repeated one which begins a page, where only blank lines stand between them."""
        page, _, text = self._parts[number]
        if number and self._parts[number - 1][0] != page:
            below = (text.removeprefix(head) for head in self._heads if text.startswith(head))
            return next((rest for rest in below if self._wanted.startswith(rest, self._at)), "")
        return ""

    def _begin_pages(self) -> Iterator[Difference]:
        """Take out what every page but the first begins with again; pages that do not are told."""
        kept: list[tuple[int, bool, str]] = []
        page, left = 1, ""
        for part in self._parts:
            here, _, text = part
            if here != page:
                page, left = here, self._fixed
            if left and left.startswith(text):
                left = left.removeprefix(text)
                continue
            if left:
                yield Difference(self._path, f"page {page} does not begin as every page must", left[:SHOWN], text)
                left = ""
            kept.append(part)
        self._parts = kept

    def _parted(self, number: int) -> tuple[int, Difference]:
        """The part after a difference that is known again, and the difference."""
        page, _, _ = self._parts[number]
        for after in range(number + 1, min(number + LINES, len(self._parts))):
            text = self._parts[after][2]
            place = self._wanted.find(text, self._at, self._at + AHEAD) if len(text) >= SHORTEST else -1
            if place >= 0:
                return after, self._told(page, place, number, after)
        return len(self._parts), self._told(page, len(self._wanted), number, len(self._parts))

    def _told(self, page: int, place: int, first: int, after: int) -> Difference:
        found = " ".join(text for _, _, text in self._parts[first:after])
        wanted = self._between(self._at, place)
        self._at = place
        return Difference(self._path, f"page {page} says other words", wanted, found[:SHOWN])

    def _between(self, first: int, last: int) -> str:
        """The words of the source that hold these letters."""
        begin, end = bisect_right(self._ends, first), bisect_right(self._ends, max(first, last - 1))
        return " ".join(text.strip() for text in self._words[begin : end + 1])[:SHOWN]


# ---- heads and feet of pages ----------------------------------------------------------


def _around(path: str, source: SourceWords, paper: Paper) -> Iterator[Difference]:
    """Heads and feet say the page's own number and what the document gives to them, and nothing else."""
    always = [packed(texts[0]) for texts in source.around.values() if len(set(texts)) == 1]
    given = {packed(text) for texts in (*source.around.values(), source.quoted) for text in texts}
    begun = False
    for number, raw in enumerate(paper.around, start=1):
        text = packed(raw)
        begun = begun or bool(text)
        if begun and not _made_of(text, sorted(given | {paper.labels[number - 1], str(paper.pages)})):
            yield Difference(path, f"head or foot of page {number} says other words", "", raw[:SHOWN])
        for part in always:
            if begun and part not in text:
                yield Difference(path, f"head or foot of page {number} lacks words", part[:SHOWN], raw[:SHOWN])


def _framed(path: str, source: SourceWords, paper: Paper) -> Iterator[Difference]:
    """Around each page of a book stand the words of its chapter and its side, and the page's own number."""
    counted: Counter[str] = Counter()
    written = {line.page for line in paper.lines}
    for page, (label, found) in enumerate(zip(paper.labels, paper.around, strict=True), start=1):
        part = label[: label.rfind("-") + 1]
        counted[part] += 1
        if part not in source.frames or (part and label != f"{part}{counted[part]}"):
            yield Difference(path, f"page {page} bears a number that it cannot have", f"{part}{counted[part]}", label)
            continue
        around = source.frames[part][(counted[part] - 1) % 2]
        blank = {packed(around)} if page not in written else set()  # a last page without any text has no number
        if packed(found) not in {packed(f"{around}{label}"), *blank}:
            what = f"head or foot of page {label} says other words"
            yield Difference(path, what, f"{around} {label}".strip(), found.strip()[:SHOWN])


def _made_of(text: str, parts: Iterable[str]) -> bool:
    """Whether a text is some of the parts in a row.

    >>> _made_of("Page12of223", {"Page", "of", "12", "223"}), _made_of("Page13of223", {"Page", "of", "12", "223"})
    (True, False)
    """
    by_first = grouped(filter(None, parts), lambda part: part[0])
    reached = {0}
    for at in range(len(text)):
        if at in reached:
            reached |= {at + len(part) for part in by_first.get(text[at], ()) if text.startswith(part, at)}
    return len(text) in reached


# ---- from right to left ------------------------------------------------------------------

KEPT = re.compile("(?<=[0-9])[.,](?=[0-9])|\\w|\0")
"""Letters, digits and the marks inside numbers. The place of other marks depends on how a line is set: a vowel
mark inside a joined form is drawn after it."""
LIGATURE = "\0"
LETTERS = "[\u0600-\u06ff]{0,4}"
"""What a joined letter form may stand for: the engine tells the letters of such forms from the first place only."""


def _in_any_direction(path: str, words: Iterable[str], lines: Iterable[Line]) -> Iterator[Difference]:
    """Texts with right-to-left script: letters are drawn from the end of a line, and joined forms tell no letters."""
    wanted = "".join(KEPT.findall(" ".join(words)))
    found = "".join(KEPT.findall(" ".join("".join(_logical(line.glyphs)) for line in lines)))
    if re.fullmatch("".join(LETTERS if one == LIGATURE else re.escape(one) for one in found), wanted) is None:
        yield Difference(path, "says other words", wanted[:SHOWN], found.replace(LIGATURE, "")[:SHOWN])


def _logical(glyphs: Iterable[str]) -> Iterator[str]:
    """A drawn line in the order in which it is read."""
    drawn = [LIGATURE if _unsure(glyph) else glyph for glyph in glyphs]
    if not any(map(_is_rtl, drawn)):
        yield from drawn
        return
    drawn.reverse()
    at = 0
    while at < len(drawn):
        end = at
        if _is_ltr(drawn[at]):  # numbers and Latin words keep their own direction
            last = next((n for n in range(at, len(drawn)) if _is_rtl(drawn[n])), len(drawn))
            end = max(n for n in range(at, last) if _is_ltr(drawn[n]))
        yield from reversed(drawn[at : end + 1])
        at = end + 1


def _unsure(glyph: str) -> bool:
    return not glyph or (len(glyph) > 1 and _is_rtl(glyph))


def _is_rtl(text: str) -> bool:
    return text == LIGATURE or any(unicodedata.bidirectional(letter) in ("R", "AL", "NSM", "AN") for letter in text)


def _is_ltr(text: str) -> bool:
    return any(unicodedata.bidirectional(letter) in ("L", "EN") for letter in text)
