"""An independent reader of PDFs, and the comparison of what it read with what had to be printed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from io import BytesIO
from typing import Any

from builder.base.errors import ArchiveError
from builder.verify.reading import DIGITS, packed

MOST_BETWEEN = 24
"""Runs of digits that may stand between two that must follow each other: numbers of pages and steps, a head again."""
HEAD_LINES, SENTENCE = 2, 4
"""Lines at the start of a page that tell how to print it; words that make a sentence of them."""
FOOT_LINES = 6
"""Lines at the end of a page that may be its foot."""


class Paper:
    """A PDF that was read once."""

    def __init__(self, data: bytes, path: str) -> None:
        """Read it.

        :raises ArchiveError: when it is no PDF that can be read.
        """
        from pypdf import PdfReader  # noqa: PLC0415 - only who verifies needs it
        from pypdf.errors import PyPdfError  # noqa: PLC0415

        try:
            self._reader = PdfReader(BytesIO(data))
            self.pages = [page.extract_text() for page in self._reader.pages]
        except (PyPdfError, ValueError, KeyError, AttributeError, TypeError, RecursionError, OSError) as fault:
            raise ArchiveError(f"{path} is no PDF that can be read: {fault}") from fault
        self.text = packed("".join(self.pages))

    def runs(self, first: int = 0) -> list[str]:
        """Every run of digits from a page on."""
        return DIGITS.findall("\n".join(self.pages[first:]))

    def page_of(self, title: str) -> int:
        """The page on which the chapter of that title begins, by the outline; the first page where there is none."""
        for name, page in self._outline(self._reader.outline):
            if name == title:
                return page
        return 0

    def _outline(self, entries: Iterable[Any]) -> Iterator[tuple[str, int]]:
        for entry in entries:
            if isinstance(entry, list):
                yield from self._outline(entry)
            else:
                yield str(entry.title), self._reader.get_destination_page_number(entry) or 0


def in_order(wanted: Sequence[tuple[str, Sequence[str]]], found: Sequence[str], most: int) -> str:
    """Why not all wanted runs follow each other among those found, or an empty text when they do.

    :param wanted: (name of the part, its runs).
    :param most: how many others may stand between two.

    >>> in_order([("front", ["19", "5"])], ["1", "19", "5"], 2)
    ''
    >>> in_order([("front", ["19", "5"])], ["1", "19", "6"], 2)
    "front: '5' does not follow '19'"
    """
    at, before = 0, "the beginning"
    for name, runs in wanted:
        for run in runs:
            try:
                at = found.index(run, at, at + most + 1) + 1
            except ValueError:
                return f"{name}: {run!r} does not follow {before!r}"
            before = run
    return ""


def in_book(wanted: Sequence[tuple[str, Sequence[str]]], drawings: Sequence[str], pages: Sequence[str]) -> str:
    """Why not all runs follow each other once every drawing is taken out, whose words come at the end of its page."""
    others, why = _take_out(drawings, [DIGITS.findall(page) for page in pages])
    return why or in_order(wanted, [run for page in others for run in page], MOST_BETWEEN)


def without_feet(pages: Sequence[str]) -> list[str]:
    """The pages without what stands at the foot of most of them, whatever its numbers."""
    feet: Counter[str] = Counter()
    for page in pages:
        feet.update({DIGITS.sub("#", line) for line in page.split("\n")[-FOOT_LINES:]})
    usual = {line for line, count in feet.items() if 2 * count > len(pages)}
    made = []
    for page in pages:
        lines = page.split("\n")
        kept = [line for line in lines[-FOOT_LINES:] if DIGITS.sub("#", line) not in usual]
        made.append("\n".join([*lines[:-FOOT_LINES], *kept]))
    return made


def same_heads(pages: Sequence[str]) -> str:
    """Why a sentence at the top of a page has other numbers than on the other pages, or an empty text.

    >>> same_heads(["Print at 100 %.", "Print at 100 %."]), same_heads(["Print at 100 %.", "Print at 101 %."])
    ('', "'Print at 101 %.' is 'Print at 100 %.' on another page")
    """
    seen: dict[str, str] = {}
    for line in (line for page in pages for line in page.split("\n")[:HEAD_LINES]):
        first = seen.setdefault(DIGITS.sub("#", line), line)
        if first != line and len(line.split()) >= SENTENCE:
            return f"{line!r} is {first!r} on another page"
    return ""


def in_cells(cells: Sequence[str], frame: str, pages: Sequence[Sequence[str]]) -> str:
    """Why not every cell stands whole on one of the pages with the frame around, or an empty text.

    >>> in_cells(["19 5", "60"], "2026", [["1", "19", "5", "60", "2026"]])
    ''
    >>> in_cells(["19 5", "60"], "2026", [["1", "19", "6", "60", "2026"]])
    "nowhere on it stands '19 5' in a row"
    """
    others, why = _take_out(cells, pages)
    short = Counter(frame.split()) - Counter(run for page in others for run in page)
    return why or (f"around the text it prints {', '.join(sorted(short))} less often than it must" if short else "")


def _take_out(cells: Sequence[str], pages: Sequence[Sequence[str]]) -> tuple[list[list[str]], str]:
    """What is left of the pages without the cells, and why not every cell stands whole on one of them."""
    left = Counter(cells)
    others: list[list[str]] = []
    longest_first = sorted(set(cells), key=lambda cell: -len(cell.split()))
    for page in pages:
        at, kept = 0, []
        while at < len(page):
            hit = next((cell for cell in longest_first if left[cell] and _stands(cell, page, at)), "")
            if hit:
                left[hit] -= 1
            else:
                kept.append(page[at])
            at += len(hit.split()) or 1
        others.append(kept)
    missing = sorted(left.elements())
    return others, f"nowhere on it stands {missing[0]!r} in a row" if missing else ""


def _stands(cell: str, page: Sequence[str], at: int) -> bool:
    runs = cell.split()
    return list(page[at : at + len(runs)]) == runs


def check_paper(paper: Paper, entry: Mapping[str, Any]) -> str:
    """Why a PDF does not print what it must, or an empty text."""
    if "cells" in entry:
        why = in_cells(entry["cells"], entry["frame"], [DIGITS.findall(page) for page in paper.pages])
        return why or same_heads(paper.pages)
    if "chapters" in entry:
        chapters = [(chapter["title"], chapter["runs"].split()) for chapter in entry["chapters"]]
        first = paper.page_of(chapters[0][0]) if chapters else 0
        return in_book(chapters, entry["drawings"], without_feet(paper.pages)[first:])
    missing = Counter(entry["bag"].split()) - Counter(paper.runs())
    return f"it prints {', '.join(sorted(missing))} less often than it must" if missing else ""
