"""Every run of digits of a PDF, page by page, against every run that its document had before it was drawn."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from builder.verify.cells import take_out
from builder.verify.reading import DIGITS

REFERENCE = "→"
"""Begins a run that stands for the number of the page on which its place lies."""
NOWHERE = "no page"
MOST_SHOWN = 5


def same_runs(wanted: Sequence[str], found: Sequence[str], *, joined: bool = False) -> str:
    """Why not the same runs were found, each as often, or an empty text.

    :param joined: whether runs may be joined, where cells of their own hold each digit to its place.

    >>> same_runs(["19", "5"], ["5", "19"]), same_runs(["19", "5"], ["18", "5"])
    ('', 'it prints 18, but not 19')
    """
    more, less = Counter(found) - Counter(wanted), Counter(wanted) - Counter(found)
    if not more and not less:
        return ""
    if joined and Counter("".join(more.elements())) == Counter("".join(less.elements())):
        return ""
    shown = [", ".join(sorted(runs.elements())[:MOST_SHOWN]) or "nothing" for runs in (more, less)]
    return f"it prints {shown[0]}, but not {shown[1]}"


def in_pages(entry: Mapping[str, Any], pages: Sequence[Sequence[str]], places: Mapping[str, int]) -> str:
    """Why the pages do not have all runs of the entry, in order and no others, or an empty text.

    :param entry: ``runs`` of the document; also ``heads`` of tables that are repeated on each page of their table,
        ``foot`` of every page, ``numbered`` where pages have their number and how many there are, ``drawings`` whose
        words come anywhere on their page, and for a book its ``chapters`` and the ``top`` of every page.
    :param places: page, counted from 0, of each place.
    """
    others, why = take_out(entry.get("drawings", []), pages)
    wanted = [_resolved(run, places) for run in entry["runs"].split()]
    heads = [head.split() for head in entry.get("heads", [])]
    for head in entry.get("heads", []):
        if f" {head} " not in f" {entry['runs']} ":
            return f"{head!r} is no head of a table on it"
    # What stands around a page may also be read as its last run, so every way is followed until one alone fits.
    ways = {0}
    for number, page in enumerate([] if why else others, start=1):
        tails = _around(entry, number, len(pages), places)
        at = min(ways)
        ways = {
            before + step
            for before in ways
            for tail in tails
            for step in _steps(page, wanted[before : before + len(page)], tail, heads, loose=entry["loose"])
        }
        if not ways:
            whole = [_whole(page, wanted[at : at + len(page)], tail, head) for tail in tails for head in ([], *heads)]
            return f"page {number}: {_first(page, max(whole, key=lambda one: _alike(page, one)))}"
    return why or (f"after its last page {_shown(wanted[max(ways) :])} is missing" if len(wanted) not in ways else "")


def _resolved(run: str, places: Mapping[str, int]) -> str:
    """A reference with the number of its page instead of its place; any other run as it is."""
    if not run.startswith(REFERENCE):
        return run
    page = places.get(run.removeprefix(REFERENCE))
    return NOWHERE if page is None else f"{REFERENCE}{page + 1}"


def _around(entry: Mapping[str, Any], number: int, count: int, places: Mapping[str, int]) -> list[list[str]]:
    """The runs that may stand after the text of a page, counted from 1: of its head, chapter, foot and number.

    The chapter is the one that goes on from the page before, or the first that begins here.
    """
    last = [str(number), str(count)] if entry.get("numbered") else []
    foot = entry.get("foot", "").split()
    if "chapters" not in entry:
        return [[*foot, *last]]
    if number == 1:
        return [[]]
    starts = [places.get(chapter["id"], 0) + 1 for chapter in entry["chapters"]]
    named = [[], *(DIGITS.findall(chapter["title"]) for chapter in entry["chapters"])]
    known = sorted({bisect_left(starts, number), min(bisect_left(starts, number) + 1, bisect_right(starts, number))})
    return [[*entry["top"].split(), *named[chapter], *foot, *last] for chapter in known]


def _steps(
    page: Sequence[str], wanted: Sequence[str], tail: Sequence[str], heads: Sequence[list[str]], *, loose: bool
) -> Iterator[int]:
    """How many of the wanted runs the page may have between a repeated head and its end; nothing when it has others."""
    for head in ([], *heads):
        whole = _whole(page, wanted, tail, head)
        if list(page) == whole or (loose and Counter(page) == Counter(whole)):
            yield len(page) - len(head) - len(tail)


def _whole(page: Sequence[str], wanted: Sequence[str], tail: Sequence[str], head: Sequence[str]) -> list[str]:
    """A page as it must read with this head again and this end; the number of a page may have zeros before it."""
    room = max(len(page) - len(head) - len(tail), 0)
    made = list(head)
    for want, run in zip(wanted[:room], page[len(head) :], strict=False):
        number = want.removeprefix(REFERENCE)
        made.append(run if number != want and run.lstrip("0") == number else number)
    return [*made, *tail]


def _alike(found: Sequence[str], wanted: Sequence[str]) -> int:
    """How many runs agree from the beginning."""
    pairs = enumerate(zip(found, wanted, strict=False))
    return next((n for n, (a, b) in pairs if a != b), min(len(found), len(wanted)))


def _first(found: Sequence[str], wanted: Sequence[str]) -> str:
    at = _alike(found, wanted)
    return f"number {at + 1} on it reads {_shown(found[at:])}, but should read {_shown(wanted[at:])}"


def _shown(runs: Sequence[str]) -> str:
    return " ".join(run.removeprefix(REFERENCE) for run in runs[:MOST_SHOWN]) or "nothing"
