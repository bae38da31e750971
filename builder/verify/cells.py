"""Runs of digits that stand together: blocks of cards and words of drawings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence


def in_cells(cells: Sequence[str], frame: str, pages: Sequence[Sequence[str]], on_head: Sequence[bool] = ()) -> str:
    """Why not every cell stands whole on one of the pages with the frame around, or an empty text.

    :param on_head: of each page whether words stand on their head there, as on a back turned over the top. Readers find
        no gap between their columns, so that runs may be joined; their digits are the same.

    >>> in_cells(["19 5", "60"], "2026", [["1", "19", "5", "60", "2026"]])
    ''
    >>> in_cells(["19 5", "60"], "2026", [["1", "19", "6", "60", "2026"]])
    "nowhere on it stands '19 5' in a row"
    """
    others, why = take_out(cells, pages, on_head)
    short = Counter(frame.split()) - Counter(run for page in others for run in page)
    return why or (f"around the text it prints {', '.join(sorted(short))} less often than it must" if short else "")


def take_out(
    cells: Sequence[str], pages: Sequence[Sequence[str]], on_head: Sequence[bool] = ()
) -> tuple[list[list[str]], str]:
    """What is left of the pages without the cells, and why not every cell stands whole on one of them."""
    left = Counter(cells)
    others: list[list[str]] = []
    longest_first = sorted(set(cells), key=lambda cell: -len(cell.split()))
    for page, joined in zip(pages, on_head or [False] * len(pages), strict=True):
        at, kept = 0, []
        while at < len(page):
            hit, length = "", 1
            for cell in longest_first:
                if left[cell] and (runs := _stands(cell, page, at, joined=joined)):
                    hit, length = cell, runs
                    break
            if hit:
                left[hit] -= 1
            else:
                kept.append(page[at])
            at += length
        others.append(kept)
    missing = sorted(left.elements())
    return others, f"nowhere on it stands {missing[0]!r} in a row" if missing else ""


def _stands(cell: str, page: Sequence[str], at: int, *, joined: bool) -> int:
    """How many runs of the page are the cell, 0 where it does not stand there."""
    runs = cell.split()
    if list(page[at : at + len(runs)]) == runs:
        return len(runs)
    lengths = range(1, len(runs)) if joined else ()
    return next((length for length in lengths if "".join(page[at : at + length]) == "".join(runs)), 0)
