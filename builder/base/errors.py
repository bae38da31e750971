"""Every error the library raises.

HandbookError
├── ContentError      the author's files are wrong (carries all faults found in one run)
├── UsageError        the command was called wrongly
├── OutOfRangeError   a formula was asked outside its range of validity
├── UnknownKeyError   no figure has that key
├── RenderError       the page or PDF engine could not do its work faithfully
│   └── FitError      a card does not fit or is not legible
├── PublishError      the site could not be put in place
└── ArchiveError      a published folder is not what a builder made
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterable, Iterator

from builder.base.fault_kinds import Kind
from builder.base.record import dataclass
from builder.base.where import Where


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One fault in the content: where, what was found, what is allowed, and the nearest match."""

    where: Where
    found: str
    allowed: str = ""
    nearest: tuple[str, ...] = ()
    kind: Kind = Kind.CONFLICT
    stands_for: int = 1
    """More than one where it only counts what is not told."""

    def __str__(self) -> str:
        parts = [f"{self.where}: {self.found}"]
        if self.allowed:
            parts.append(f"allowed: {self.allowed}")
        if self.nearest:
            parts.append("nearest: " + ", ".join(self.nearest))
        return "; ".join(parts)


MOST_TOLD = 50
"""Faults of one file that are told one by one; what is wrong there is wrong in the same way further down."""


def uncounted(file: str, line: int, rest: int) -> Problem:
    """What stands for the faults of a file that are not told."""
    found = f"and {rest} more fault{'' if rest == 1 else 's'} in lines up to this one"
    return Problem(Where(file, line), found, f"the first {MOST_TOLD} are listed", stands_for=rest, kind=Kind.MORE)


DEFINERS = ("site.yaml", "maps.yaml", "gases.yaml", "sensors.yaml", "models.yaml", "checks.yaml", "areas.yaml")
"""Files whose faults come before those of others: what they define is named there."""


def _rank(problem: Problem) -> int:
    """Where the file of a problem stands in the order in which causes come before what follows from them."""
    name = problem.where.file.rpartition("/")[2]
    return DEFINERS.index(name) if name in DEFINERS else len(DEFINERS)


def capped(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The problems, causes first, each once, with no more of one file than can be told; the rest is counted."""
    by_file: dict[str, list[Problem]] = defaultdict(list)
    for problem in dict.fromkeys(problems):
        by_file[problem.where.file].append(problem)
    every = sorted(told for file, found in by_file.items() for told in _capped(file, found))
    return tuple(sorted(every, key=_rank))


def _capped(file: str, problems: list[Problem]) -> Iterator[Problem]:
    counts = [problem for problem in problems if problem.stands_for > 1]
    own = [problem for problem in problems if problem.stands_for == 1]
    yield from heapq.nsmallest(MOST_TOLD, own)
    rest = len(own) - MOST_TOLD
    if counts or rest > 0:
        last = max(problem.where.line for problem in problems)
        yield uncounted(file, last, max(rest, 0) + sum(problem.stands_for for problem in counts))


class HandbookError(Exception):
    """Base of all errors raised on purpose."""


class ContentError(HandbookError):
    """The content holds faults; ``problems`` has them in file order, the first of each file and how many more."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = capped(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))

    @property
    def count(self) -> int:
        """How many faults there are, also those that are only counted."""
        return sum(problem.stands_for for problem in self.problems)

    def __reduce__(self) -> tuple[type[ContentError], tuple[tuple[Problem, ...]]]:
        return (type(self), (self.problems,))


def refusal(kind: Kind, where: Where, found: str, allowed: str = "", nearest: tuple[str, ...] = ()) -> ContentError:
    """One fault beside which nothing else can be told."""
    return ContentError([Problem(where, found, allowed, nearest, kind)])


class UsageError(HandbookError):
    """The command was called in a way it does not understand."""


class OutOfRangeError(HandbookError):
    """A formula refuses inputs outside its published range rather than guess.

    ``found`` says what was asked, ``allowed`` what would be right; empty where nothing can be named.
    """

    def __init__(self, found: str, allowed: str = "") -> None:
        self.found = found
        self.allowed = allowed
        super().__init__(f"{found}; allowed: {allowed}" if allowed else found)

    def __reduce__(self) -> tuple[type[OutOfRangeError], tuple[str, str]]:
        return (type(self), (self.found, self.allowed))


class UnknownKeyError(HandbookError):
    """No figure has this key; ``nearest`` names the closest real ones."""

    def __init__(self, key: str, nearest: tuple[str, ...] = ()) -> None:
        self.key = key
        self.nearest = nearest
        hint = f"; nearest: {', '.join(nearest)}" if nearest else ""
        super().__init__(f"no figure has the key {key!r}{hint}")

    def __reduce__(self) -> tuple[type[UnknownKeyError], tuple[str, tuple[str, ...]]]:
        return (type(self), (self.key, self.nearest))


class RenderError(HandbookError):
    """A page, card or document could not be rendered faithfully."""


class FitError(RenderError):
    """A card does not fit, is clipped, or has type too small to read; one line a fault."""

    def __init__(self, faults: Iterable[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(self.faults))

    def __reduce__(self) -> tuple[type[FitError], tuple[tuple[str, ...]]]:
        return (type(self), (self.faults,))


class PublishError(HandbookError):
    """The built site could not be put in place; what was published before is untouched."""


class ArchiveError(HandbookError):
    """A published folder, or a revision in it, cannot be read: it is not what a builder made."""
