"""Things that have something in common, together."""

from collections.abc import Callable, Hashable, Iterable
from typing import TypeVar

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")


def grouped(every: Iterable[V], by: Callable[[V], K]) -> dict[K, list[V]]:
    """All of one key together, in the order in which they come.

    >>> grouped([3, 1, 4, 5], lambda number: number % 2)
    {1: [3, 1, 5], 0: [4]}
    """
    made: dict[K, list[V]] = {}
    for one in every:
        made.setdefault(by(one), []).append(one)
    return made
