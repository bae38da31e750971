"""Where readers note what is wrong, so that one run finds every fault."""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from builder.base.errors import MOST_TOLD, ContentError, Problem
from builder.base.fault_kinds import Kind
from builder.base.nearest import Close, found_close, near
from builder.base.noting import Noting
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.asking import Watch
from builder.program.markings import Spellings, matched
from builder.program.trade_words import meaning_of
from builder.reference.asked_gases import how_to_enter, in_library

NOWHERE = Where("content", 1)
"""Stands for a file that is not there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Literal:
    """A number with a unit that an author typed by hand on purpose."""

    text: str
    reason: str
    where: Where


class Faults(Noting):
    """Collects faults, defined ids and the references to check against them once everything is read."""

    def __init__(self, problems: Iterable[Problem] = ()) -> None:
        self.problems: list[Problem] = list(problems)
        self._defined: dict[str, dict[str, Where]] = {}
        self._alike: dict[str, dict[str, str]] = {}
        self._references: list[tuple[str, Given[str]]] = []
        self._overlooked: set[str] = set()
        self._allowed: set[tuple[str, str]] = set()
        self._noted: Counter[str] = Counter(problem.where.file for problem in self.problems)
        self.quoted: list[Given[str]] = []
        """Keys of figures that prose names; whether they exist is known only when there is a ledger."""
        self.literals: list[Literal] = []
        """Numbers that prose types by hand on purpose."""
        self.unentered: dict[Where, str] = {}
        """Keys under which a starter's text still says that something is to be entered, by the line of that text."""
        self.watch: Watch | None = None
        """Told of every key that is asked for; nobody in an ordinary run."""
        self.languages: tuple[str, ...] = ("en",)
        """Languages in which texts may be given, the site's first one first."""
        self.said: Mapping[str, Mapping[str, Given[str]]] = {}
        """By language and English text, what ``translations`` has for it."""
        self.pictures: Mapping[str, bytes] = {}
        """Those in the site's folder ``templates``, by name, which its look may have."""
        self.localized: list[Given[str]] = []
        """Every text that may be given in several languages."""

    def note(self, kind: Kind, where: Where, found: str, allowed: str, close: Close) -> None:
        """Note one fault; close names are not looked for where a file has more faults than will be told."""
        self._noted[where.file] += 1
        told = self._noted[where.file] <= MOST_TOLD
        self.problems.append(Problem(where, found, allowed, found_close(close) if told else (), kind))

    def withdraw(self, kind: Kind, where: Where, found: str) -> None:
        """Take back a fault that only follows from another."""
        self.problems = [one for one in self.problems if (one.kind, one.where, one.found) != (kind, where, found)]

    def define(self, kind: str, given: Given[str]) -> None:
        """Note that ``given`` is the id of one more ``kind``; a doubled id is a fault."""
        known, alike = self._defined.setdefault(kind, {}), self._alike.setdefault(kind, {})
        twin = alike.setdefault(matched(given.value), given.value)
        if given.value in known:
            self.twice(
                given.where, f"{kind} id {given.value!r} stands twice (first at {known[given.value]})", "each id once"
            )
        elif twin != given.value:
            found = f"{kind} id {given.value!r} can be taken for {twin!r} (at {known[twin]})"
            self.twice(given.where, found, "ids that differ in more than case and what parts their letters")
        else:
            known[given.value] = given.where

    def refuse_twins(self, named: Iterable[Given[Any]], told: str, allowed: str) -> None:
        """Note each that was written before; ``told`` has braces where it is named."""
        seen: set[str] = set()
        for given in named:
            if given.text in seen:
                self.twice(given.where, told.format(given.text), allowed)
            if given.text:
                seen.add(given.text)

    def allow(self, kind: str, name: str) -> None:
        """Let references name an id by its right form though it stands there in another, which is told alone."""
        self._allowed.add((kind, name))

    def refer(self, kind: str, given: Given[str]) -> Given[str]:
        """Note a reference, checked by ``settle``."""
        self._references.append((kind, given))
        return given

    def knows(self, kind: str, name: str) -> bool:
        """Whether an id of this kind was defined so far."""
        return name in self._defined.get(kind, {})

    def defined(self, kind: str) -> tuple[str, ...]:
        """The ids of this kind defined so far."""
        return tuple(self._defined.get(kind, {}))

    def spellings(self, kind: str) -> Spellings:
        """What any spelling of an id of this kind, of those defined so far, stands for."""
        return Spellings(self._alike.get(kind, {}))

    def names(self, kind: str) -> frozenset[str] | None:
        """The ids of this kind, or ``None`` when none is known, or the file that defines them could not be read."""
        return None if kind in self._overlooked else frozenset(self._defined.get(kind, {})) or None

    def overlook(self, kind: str) -> None:
        """Judge no reference to this kind: the file that defines it could not be read."""
        self._overlooked.add(kind)

    def settle(self) -> None:
        """Check every reference, then raise all faults if there are any.

        :raises ContentError: with every fault of the run.
        """
        listed = {kind: _listed(known) for kind, known in self._defined.items()}
        for kind, given in self._references:
            known = self._defined.get(kind, {})
            if given.value in known or (kind, given.value) in self._allowed:
                continue
            if given.value and kind not in self._overlooked:
                allowed = f"one of {listed[kind]}" if known else f"the id of a {kind}; there is none in this content"
                meant = meaning_of("sensor", given.value)  # a formula or a common name of a gas
                another = kind in ("gas", "channel") and in_library(given.value)  # a gas is no slip of another's name
                close = (meant,) if meant in known else () if another else near(given.value, known)
                if kind == "gas" and not found_close(close):
                    allowed += f"; or {how_to_enter(given.value)}"
                self.unknown(given.where, f"unknown {kind} {given.value!r}", allowed, close)
        self._references.clear()
        if self.problems:
            raise ContentError(self.problems)


def _listed(names: Iterable[str], most: int = 12) -> str:
    every = sorted(names)
    return ", ".join(every[:most]) + (f" and {len(every) - most} more" if len(every) > most else "")
