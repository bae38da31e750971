"""An independent reader of PDFs, and the comparison of what it read with what had to be printed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cached_property
from io import BytesIO
from typing import Any

from builder.base.errors import ArchiveError
from builder.verify.cells import in_cells, take_out
from builder.verify.reading import DIGITS, packed
from builder.verify.sequence import in_pages, same_runs

MOST_BETWEEN = 24
"""Runs of digits that may stand between two that must follow each other: numbers of pages and steps, a head again."""
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

    @cached_property
    def places(self) -> dict[str, int]:
        """Page, counted from 0, of each place that a link of the document leads to."""
        found = self._reader.named_destinations.items()
        return {name: self._reader.get_destination_page_number(place) or 0 for name, place in found}

    @cached_property
    def on_head(self) -> list[bool]:
        """Of each page whether words stand on their head there."""
        return [bool(page.extract_text(orientations=(180,)).strip()) for page in self._reader.pages]


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
    others, why = take_out(drawings, [DIGITS.findall(page) for page in pages])
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


def check_paper(paper: Paper, entry: Mapping[str, Any]) -> str:
    """Why a PDF does not print what it must, and nothing else, or an empty text."""
    found = [DIGITS.findall(page) for page in paper.pages]
    if "cells" in entry:
        runs = [run for page in found for run in page]
        why = in_cells(entry["cells"], entry["frame"], found) or same_runs(entry["runs"].split(), runs)
        if why and any(paper.on_head):
            why = in_cells(entry["cells"], entry["frame"], found, paper.on_head)
            why = why or same_runs(entry["runs"].split(), runs, joined=True)
        return why
    if "chapters" in entry:
        chapters = [(chapter["title"], chapter["runs"].split()) for chapter in entry["chapters"]]
        first = paper.places.get(entry["chapters"][0]["id"], 0) if chapters else 0
        why = in_book(chapters, entry["drawings"], without_feet(paper.pages)[first:])
        return why or in_pages(entry, found, paper.places)
    missing = Counter(entry["bag"].split()) - Counter(run for page in found for run in page)
    why = f"it prints {', '.join(sorted(missing))} less often than it must" if missing else ""
    return why or in_pages(entry, found, {})
