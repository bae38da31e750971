"""Figures as the search looks them up: by key, by the words of their labels, by the names of what they are about."""

import re
from collections.abc import Iterable, Mapping
from operator import itemgetter
from typing import Final, TypeAlias

from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.pages.handbook.entries import folded_text
from builder.pages.handbook.sections import RECORD_PARTS, group_of

WORD: Final = re.compile(r"[^\W_]+")
SAID_ANYWAY: Final = frozenset(WORD.findall("a an and at by for from in is of on or s that the this to with"))
"""Words that nobody looks a figure up by."""
RECORD: Final = "record"
Tails: TypeAlias = tuple[tuple[str, str], ...]
"""(ending of a key, further words of its label), sorted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureWords:
    """All figures, told briefly: keys that begin alike share their endings."""

    lists: tuple[Tails, ...]
    """Each list of endings once."""
    groups: tuple[tuple[str, int, tuple[str, ...]], ...]
    """(first part of the keys, number of its list, second parts); no second part for keys of two parts."""
    rows: tuple[tuple[str, tuple[tuple[int, int], ...]], ...]
    """(file of records, pairs of row and number of its list); they are asked for on their own."""
    about: Mapping[str, str]
    """Second part of keys to the name of what it stands for, as far as that says more."""
    spellings: Mapping[str, str]
    """Other spellings of one part of a key, as in a gas formula, to the part used here."""


def figure_words(ledger: Ledger, names: Mapping[str, str]) -> FigureWords:
    """Gather it from the ledger.

    :param names: title of everything that has a page or an anchor of its own, by reference.
    """
    parted = {figure.key: _split(figure.key) for figure in ledger}
    shared = _shared_words(ledger, parted)
    lists: dict[Tails, int] = {}
    numbered: dict[str, int] = {}
    for start, tails in grouped(parted.values(), itemgetter(0)).items():
        first, own = start.partition(".")[0], set(WORD.findall(start))
        told = sorted((tail, " ".join(sorted(shared[first, tail] - own))) for _, tail in tails)
        numbered[start] = lists.setdefault(tuple(told), len(lists))
    return FigureWords(
        lists=tuple(lists),
        groups=tuple(_alike({start: number for start, number in numbered.items() if not _is_row(start)})),
        rows=tuple(_rows({start: number for start, number in numbered.items() if _is_row(start)})),
        about=_about(numbered, names),
        spellings={text: part for text, part in ledger.names.items() if text != part},
    )


def _split(key: str) -> tuple[str, str]:
    """A key as its beginning and its ending; a row of records is a beginning of its own."""
    group = group_of(key)
    if key.startswith(f"{RECORD}.") and not key.startswith(f"{group}."):
        group = ".".join(key.split(".")[:RECORD_PARTS])
    return group, key[len(group) + 1 :]


def _is_row(start: str) -> bool:
    return start.startswith(f"{RECORD}.") and start.count(".") == RECORD_PARTS - 1


def _shared_words(
    ledger: Iterable[Figure], parted: Mapping[str, tuple[str, str]]
) -> Mapping[tuple[str, str], set[str]]:
    """(first part, ending) to the words that the labels of all such figures have, but for those of the ending."""
    made: dict[tuple[str, str], set[str]] = {}
    for figure in ledger:
        start, tail = parted[figure.key]
        case = start.partition(".")[0], tail
        known = made.get(case)
        if known is None:
            made[case] = set(WORD.findall(folded_text(figure.label))) - SAID_ANYWAY - set(WORD.findall(tail))
        elif known:
            known.intersection_update(WORD.findall(folded_text(figure.label)))
    return made


def _alike(numbered: Mapping[str, int]) -> Iterable[tuple[str, int, tuple[str, ...]]]:
    made: dict[tuple[str, int], list[str]] = {}
    for start, number in sorted(numbered.items()):
        first, _, second = start.partition(".")
        made.setdefault((first, number), []).extend([second] if second else [])
    return ((first, number, tuple(seconds)) for (first, number), seconds in made.items())


def _rows(numbered: Mapping[str, int]) -> Iterable[tuple[str, tuple[tuple[int, int], ...]]]:
    made: dict[str, list[tuple[int, int]]] = {}
    for start, number in numbered.items():
        _, file, row = start.split(".")
        made.setdefault(file, []).append((int(row), number))
    return ((file, tuple(sorted(rows))) for file, rows in sorted(made.items()))


def _about(starts: Iterable[str], names: Mapping[str, str]) -> dict[str, str]:
    """Names of areas, gases and other things that keys are about; a unit or cylinder is called by its id anyway."""
    seconds = {start.partition(".")[2] for start in starts}
    made: dict[str, dict[str, None]] = {}
    for reference, title in names.items():
        name = reference.partition(":")[2]
        if name in seconds and folded_text(title) != name:
            made.setdefault(name, {})[folded_text(title)] = None
    return {name: " ".join(titles) for name, titles in sorted(made.items())}
