"""A large mapping kept in parts of bounded size, of which only those are read that are asked for."""

from bisect import bisect_right
from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Final, Generic, TypeVar
from zlib import crc32

V = TypeVar("V")

LEAST: Final = 500
"""Entries of a part, but for the last."""
MOST: Final = 4000
ONE_IN: Final = 1000
"""Beyond the least, one key in so many begins a new part."""
IN_MEMORY: Final = 24
"""Parts of one mapping that are held at once."""


def runs_of(keys: Iterable[str]) -> Iterator[tuple[str, ...]]:
    """Sorted keys in runs of at most ``MOST``.

    A key begins a run by a sum over itself, so that one entry more or less changes the run it is in and perhaps the
    next, and all others stay as they were.

    >>> [len(run) for run in runs_of(f"{number:05}" for number in range(5000))]
    [1384, 1581, 2035]
    """
    run: list[str] = []
    for key in keys:
        if len(run) >= MOST or (len(run) >= LEAST and crc32(key.encode()) % ONE_IN == 0):
            yield tuple(run)
            run = []
        run.append(key)
    if run:
        yield tuple(run)


class Parted(Mapping[str, V], Generic[V]):
    """Looks each key up in the part that must hold it; those last asked for are held."""

    def __init__(self, firsts: Sequence[str], count: int, load: Callable[[int], Mapping[str, V]]) -> None:
        """``firsts`` has the first key of each part, rising; ``count`` is of all entries; ``load`` gives a part."""
        self._firsts = firsts
        self._count = count
        self._load = load
        self._held: OrderedDict[int, Mapping[str, V]] = OrderedDict()

    def __getitem__(self, key: str) -> V:
        return self._part(self.part_of(key))[key]

    def __iter__(self) -> Iterator[str]:
        for at in range(len(self._firsts)):
            yield from self._part(at)

    def __len__(self) -> int:
        return self._count

    def part_of(self, key: str) -> int:
        """The part that must hold ``key``, if any does; the first is 0."""
        return max(0, bisect_right(self._firsts, key) - 1)

    def _part(self, at: int) -> Mapping[str, V]:
        if not self._firsts:
            return {}
        if at not in self._held:
            self._held[at] = self._load(at)
            if len(self._held) > IN_MEMORY:
                self._held.popitem(last=False)
        self._held.move_to_end(at)
        return self._held[at]
