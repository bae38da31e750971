"""Runs of digits that stand together: blocks of cards and words of drawings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence


def in_cells(cells: Sequence[str], frame: str, pages: Sequence[Sequence[str]]) -> str:
    """Why not every cell stands whole on one of the pages with the frame around, or an empty text.

    >>> in_cells(["19 5", "60"], "2026", [["1", "19", "5", "60", "2026"]])
    ''
    >>> in_cells(["19 5", "60"], "2026", [["1", "19", "6", "60", "2026"]])
    "nowhere on it stands '19 5' in a row"
    """
    others, why = take_out(cells, pages)
    short = Counter(frame.split()) - Counter(run for page in others for run in page)
    return why or (f"around the text it prints {', '.join(sorted(short))} less often than it must" if short else "")


def take_out(cells: Sequence[str], pages: Sequence[Sequence[str]]) -> tuple[list[list[str]], str]:
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
