"""Which page tells the derivation of a figure: one page a family of keys, several of a large one, one of small ones.

Each part of a family is a run of its keys in the plain order of their signs. So a script that knows with which key each
part begins finds the page of any key (``templates/js/search.js``).
"""

from bisect import bisect_left
from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import Final, NamedTuple
from zlib import crc32

from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.handbook.derivation_words import lengths
from builder.pages.handbook.sections import path_of

MOST: Final = 54_000
"""About so many bytes of derivations are on one page, which has its frame beside them."""
NEAR: Final = MOST * 19 // 20
"""A part of a large family has more than so many."""
PART: Final = MOST * 3 // 4
"""What is left of a large family, and is no longer, shares a page with others."""
FEWER: Final = 52_500
"""So many are on a shared page, since what a small family tells is printed in more places."""
SMALL: Final = 96
"""A family of no more figures does so too."""
SHARED: Final = "others"
"""What such a page is called; no family is."""


@dataclass(frozen=True, slots=True)
class FigurePages:
    """The pages of derivations."""

    parts: Mapping[str, tuple[tuple[str, str], ...]]
    """Family, the first part of a key -> (first key, name of the page) of each part of it."""

    def name(self, key: str) -> str:
        """The name of the page of a key.

        >>> FigurePages({"gas": (("gas.a.lel", "gas"), ("gas.k.lel", "others"))}).name("gas.m.uel")
        'others'
        """
        parts = self.parts[family_of(key)]
        return parts[bisect_left(parts, (f"{key}\0",)) - 1][1]  # behind the one that begins with the key itself

    def path(self, key: str) -> str:
        """Where the derivation of a figure lies in the site."""
        return f"{path_of(f'figures:{self.name(key)}')}#{key}"


NOWHERE: Final = FigurePages({})
"""Where there are no pages of derivations."""


def family_of(key: str) -> str:
    """The first part of a key."""
    return key.partition(".")[0]


def figure_pages(figures: Mapping[str, Figure]) -> FigurePages:
    """Every family in order on as few pages as it needs; small ones, and what is left of large ones, share theirs.

    They are put on shared pages by name: by length, a family that grew would change places with others on other pages.
    What is left of large ones comes last: it changes with every record, and small ones are linked to from everywhere.
    """
    long = lengths(figures)
    families = groupby(sorted(figures, key=in_family), family_of)
    runs = {family: tuple(_runs(tuple(keys), long)) for family, keys in families}
    parts = {
        family: [(run.first, family if number == 1 else f"{family}-{number}") for number, run in enumerate(found, 1)]
        for family, found in runs.items()
    }
    rooms: list[int] = []
    for family in sorted(runs, key=lambda family: len(runs[family]) > 1):
        last = runs[family][-1]
        if last.length <= PART and (len(runs[family]) > 1 or last.keys <= SMALL):
            parts[family][-1] = last.first, _shared(rooms, last.length)
    return FigurePages({family: tuple(named) for family, named in parts.items()})


def _shared(rooms: list[int], length: int) -> str:
    """The name of the first shared page with so much room, which is taken from it."""
    at = next((number for number, room in enumerate(rooms) if length <= room), len(rooms))
    rooms[at : at + 1] = [(rooms[at] if at < len(rooms) else FEWER) - length]
    return SHARED if at == 0 else f"{SHARED}-{at + 1}"


def in_family(key: str) -> tuple[str, str]:
    """What keys are sorted by: their families, then themselves."""
    return family_of(key), key


class _Run(NamedTuple):
    """A part of a family: its first key, its length, and how many keys it has."""

    first: str
    length: int
    keys: int


def _runs(keys: tuple[str, ...], long: Mapping[str, int]) -> Iterator[_Run]:
    """Each part of one family, whose sorted keys these are.

    Of the keys that the next part may begin with, the one of the least checksum is taken: soon behind a figure that is
    added or left out, parts begin where they did.
    """
    first, length, count = 0, 0, 0
    near: list[tuple[int, int, int]] = []
    while first + count < len(keys):
        key = keys[first + count]
        full = bool(count) and length + long[key] > MOST
        if full or length > NEAR:
            near.append((crc32(key.encode()), count, length))
        if full:
            _, count, length = min(near)
            yield _Run(keys[first], length, count)
            first, length, count, near = first + count, 0, 0, []
        else:
            length, count = length + long[key], count + 1
    yield _Run(keys[first], length, count)
