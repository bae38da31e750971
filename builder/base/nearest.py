"""The closest real names to one that is not known."""

import difflib
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from itertools import takewhile
from typing import TypeAlias

LONGEST = 100
"""Characters of a word that may still be a slip of the hand."""
MOST_COMPARED = 1000
"""Names that are compared letter by letter; of more, those that begin most alike."""

Close: TypeAlias = Sequence[str] | Callable[[], Sequence[str]]
"""Close names, or what finds them once it is known that they will be told."""


def nearest(word: str, known: Iterable[str], count: int = 3) -> tuple[str, ...]:
    """At most ``count`` members of ``known`` that look like ``word``, the closest first."""
    if len(word) > LONGEST:
        return ()
    lowered: dict[str, str] = {}
    for name in known:
        lowered.setdefault(name.casefold(), name)
    folded = word.casefold()
    found = difflib.get_close_matches(folded, _likely(folded, list(lowered)), n=count, cutoff=0.6)
    return tuple(lowered[name] for name in found)


def hint(word: str, known: Iterable[str]) -> str:
    """The nearest real names, as the tail of a message; empty where none is near."""
    close = nearest(word, known)
    return f"; nearest: {', '.join(close)}" if close else ""


def _likely(word: str, names: list[str]) -> list[str]:
    if len(names) <= MOST_COMPARED:
        return names
    alike = sorted(names, key=lambda name: (-_alike(word, name), abs(len(word) - len(name))))
    return alike[:MOST_COMPARED]


def _alike(one: str, other: str) -> int:
    """Letters that both begin with."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))


def near(word: str, known: Iterable[str]) -> Callable[[], Sequence[str]]:
    """Finds the nearest names when it is asked, which costs more than noting a fault."""
    return partial(nearest, word, known)


def found_close(close: Close) -> tuple[str, ...]:
    """The close names, found now if need be."""
    return tuple(close() if callable(close) else close)
