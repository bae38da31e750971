"""The ledger: every figure of a handbook by key, made once and looked up by everybody."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from functools import cached_property
from hashlib import sha256
from typing import Protocol

from builder.base.errors import UnknownKeyError
from builder.base.grouping import grouped
from builder.base.nearest import nearest
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.program.keys.families import AS_OF


@dataclass(frozen=True, kw_only=True)  # no slots, for what is worked out once
class Ledger:
    """All figures; frozen."""

    figures: Mapping[str, Figure]
    """By key, in the order they were computed (inputs before what is made of them)."""
    aliases: Mapping[str, str]
    """Other keys a person may write, to the real one."""
    names: Mapping[str, str]
    """Other spellings of one part of a key, as in a gas formula, to the part used here."""

    @cached_property
    def _by_start(self) -> Mapping[str, list[Figure]]:
        """Figures by the first part of their key, since nearly all of a big site are of its records."""
        return grouped(self.figures.values(), lambda figure: figure.key.partition(".")[0])

    @cached_property
    def told(self) -> Mapping[str, str]:
        """By key a hash of all that a figure is: what is made of it is kept for as long as that is the same."""
        return {key: sha256(repr(figure).encode()).hexdigest() for key, figure in self.figures.items()}

    def __contains__(self, key: str) -> bool:
        return self.resolve(key) is not None

    def __iter__(self) -> Iterator[Figure]:
        return iter(self.figures.values())

    def __getitem__(self, key: str) -> Figure:
        """The figure of a key or alias.

        :raises UnknownKeyError: with the nearest real keys.
        """
        real = self.resolve(key)
        if real is None:
            raise UnknownKeyError(key, self.nearest(key))
        return self.figures[real]

    def nearest(self, key: str) -> tuple[str, ...]:
        """The closest real keys, whichever way a gas is written in it."""
        return nearest(self._spelled(key), [*self.figures, *self.aliases])

    def resolve(self, key: str) -> str | None:
        """The real key for a key, an alias, or a key with a gas written by its formula."""
        if key in self.figures:
            return key
        if key in self.aliases:
            return self.aliases[key]
        spelled = self._spelled(key)
        return spelled if spelled in self.figures else self.aliases.get(spelled)

    def _spelled(self, key: str) -> str:
        return ".".join([self.names.get(part, part) for part in key.split(".")])

    def get(self, key: str) -> Figure | None:
        """The figure, or ``None`` where a value is absent."""
        real = self.resolve(key)
        return None if real is None else self.figures[real]

    def day(self, key: str) -> date:
        """The date of a figure that is one.

        :raises TypeError: when the figure is a number.
        """
        value = self[key].exact
        if not isinstance(value, date):
            raise TypeError(f"{key} is no date")
        return value

    @property
    def today(self) -> date:
        """The day everything due is judged on."""
        return self.day(AS_OF())

    def under(self, prefix: str) -> Iterator[Figure]:
        """Figures whose key starts with ``prefix`` and a dot."""
        start = prefix + "."
        alike = self._by_start.get(prefix.partition(".")[0], ())
        return (figure for figure in alike if figure.key.startswith(start))

    @cached_property
    def users(self) -> Mapping[str, tuple[str, ...]]:
        """For each figure that others are made from, their keys."""
        made: dict[str, dict[str, None]] = {}
        for figure in self.figures.values():
            for part in figure.inputs:
                if part.figure:
                    made.setdefault(part.figure, {})[figure.key] = None
        return {key: tuple(users) for key, users in made.items()}


class Lookup(Protocol):
    """A ledger, made or in the making."""

    def get(self, key: str) -> Figure | None:
        """The figure of a key, or ``None``."""


def figures_there(ledger: Lookup, keys: Iterable[str]) -> Iterator[Figure]:
    """The figures of these keys that there are, in their order."""
    return (figure for figure in map(ledger.get, keys) if figure is not None)


class LedgerBuilder:
    """Collects figures; refuses a key twice, and an input that is not there yet."""

    def __init__(self, names: Mapping[str, str]) -> None:
        self._figures: dict[str, Figure] = {}
        self._aliases: dict[str, str] = {}
        self._names = dict(names)

    def add(self, figure: Figure) -> Figure:
        """Enter one figure.

        :raises ValueError: for a doubled key or an input figure that was never made: both are faults of the builder.
        """
        if figure.key in self._figures:
            raise ValueError(f"figure {figure.key} made twice")
        for part in figure.inputs:
            if part.figure and part.figure not in self._figures:
                raise ValueError(f"figure {figure.key} is made from {part.figure}, which does not exist")
        self._figures[figure.key] = figure
        return figure

    def alias(self, key: str, real: str) -> None:
        """Let ``key`` stand for ``real``; a real figure of that key wins."""
        self._aliases.setdefault(key, real)

    def __getitem__(self, key: str) -> Figure:
        return self._figures[key]

    def __contains__(self, key: str) -> bool:
        return key in self._figures

    def get(self, key: str) -> Figure | None:
        """A figure made so far, or ``None``."""
        return self._figures.get(key)

    def keys_under(self, prefix: str) -> tuple[str, ...]:
        """Keys made so far that start with ``prefix`` and a dot."""
        return tuple(key for key in self._figures if key.startswith(prefix + "."))

    def finish(self) -> Ledger:
        """The frozen ledger."""
        aliases = {key: real for key, real in self._aliases.items() if key not in self._figures}
        return Ledger(figures=self._figures, aliases=aliases, names=self._names)


def formula_names(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Lower-case formula to gas id, leaving out formulas that several gases share."""
    made: dict[str, str] = {}
    shared: set[str] = set()
    for formula, gas in pairs:
        name = formula.lower()
        if name in made and made[name] != gas:
            shared.add(name)
        made[name] = gas
    return {name: gas for name, gas in made.items() if name not in shared}
