"""Which page tells the derivation of a figure: one page a family of keys, several of a large one, one of small ones.

A page begins with a key and holds all keys of its family up to the first of the next page, in the plain order of their
signs. So a script that knows the first keys alone finds the page of any key (``templates/js/search.js``).
"""

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from builder.pages.handbook.registers import even_runs
from builder.pages.handbook.sections import group_of, path_of

MOST: Final = 100
"""Figures on one page; up to 300 kB."""


SMALL: Final = 30
"""A family of no more figures shares a page with others."""
SHARED: Final = "others"
"""What such a page is called; no family is."""


@dataclass(frozen=True, slots=True)
class FigurePages:
    """The pages of derivations."""

    starts: Mapping[str, tuple[str, ...]]
    """Family, the first part of a key -> first key of each of its pages."""
    shared: Mapping[str, str]
    """Family without a page of its own -> name of the page that it shares."""

    def name(self, key: str) -> str:
        """The name of the page of a key.

        >>> FigurePages({"gas": ("gas.a.lel", "gas.k.lel")}, {"site": "others"}).name("gas.m.uel")
        'gas-2'
        """
        family = family_of(key)
        if family in self.shared:
            return self.shared[family]
        number = bisect_right(self.starts[family], key)
        return family if number == 1 else f"{family}-{number}"

    def path(self, key: str) -> str:
        """Where the derivation of a figure lies in the site."""
        return f"{path_of(f'figures:{self.name(key)}')}#{key}"


def family_of(key: str) -> str:
    """The first part of a key."""
    return key.partition(".")[0]


def figure_pages(keys: Iterable[str]) -> FigurePages:
    """Whole groups of keys a page as long as they fit; a group that is too large for one is cut evenly."""
    families = {family: tuple(found) for family, found in groupby(sorted(keys, key=in_family), family_of)}
    shared: dict[str, str] = {}
    room, number = 0, 0
    for family, found in families.items():
        if len(found) <= SMALL:
            number, room = (number, room) if len(found) <= room else (number + 1, MOST)
            shared[family] = SHARED if number == 1 else f"{SHARED}-{number}"
            room -= len(found)
    own = {family: tuple(_starts(found)) for family, found in families.items() if family not in shared}
    return FigurePages(own, shared)


def in_family(key: str) -> tuple[str, str]:
    """What keys are sorted by: their families, then themselves."""
    return family_of(key), key


def _starts(keys: tuple[str, ...]) -> Iterable[str]:
    """First keys of the pages of one family, whose sorted keys these are."""
    room = 0
    for _, group in groupby(keys, group_of):
        found = tuple(group)
        if len(found) > MOST:
            yield from (run[0] for run in even_runs(found, MOST))
            room = 0
        elif len(found) > room:
            yield found[0]
            room = MOST - len(found)
        else:
            room -= len(found)
