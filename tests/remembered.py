"""Topics of figures that are computed anew only where something that they looked at has changed.

Most tests of findings change one line of one small site, and most of its figures stay as they were. A topic is a pure
function of what it reads of the program and of the ledger: both are noted while it runs, and where all of it is equal
the next time, what it entered then is entered again. Equal means equal in text and place too, since whatever the
content says is kept with its spelling and its line. ``tests/figures/test_remembered.py`` holds what comes of it against
a plain computation.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, fields
from datetime import date

from builder.figures import compute as computing
from builder.figures.ledger import LedgerBuilder
from builder.figures.recorder import FigureRecorder
from builder.program.program import Program

PARTS = frozenset(field.name for field in fields(Program))
KEPT = 6
"""How many runs of a topic are remembered."""


class WatchedProgram(Program):
    """A program that notes which of its parts were read; its own methods read through it as well."""

    __slots__ = ("noted",)

    def __getattribute__(self, name):
        value = object.__getattribute__(self, name)
        if name in PARTS:
            object.__getattribute__(self, "noted")[name] = value
        return value


def watched(program):
    made = object.__new__(WatchedProgram)
    for name in PARTS:
        object.__setattr__(made, name, getattr(program, name))
    object.__setattr__(made, "noted", {})
    return made


class WatchedLedger(LedgerBuilder):
    """A ledger that goes on with another's figures, and notes what was read of them and what is added to them."""

    def __init__(self, ledger):
        self._figures, self._aliases, self._names = ledger._figures, ledger._aliases, ledger._names
        self.added, self.aliased, self.noted, self.listed = [], [], {}, {}
        self._own = set()

    def add(self, figure):
        self.added.append(super().add(figure))
        self._own.add(figure.key)
        return figure

    def alias(self, key, real):
        self.aliased.append((key, real))
        super().alias(key, real)

    def get(self, key):
        found = self._figures.get(key)
        if key not in self._own:
            self.noted.setdefault(key, found)
        return found

    def __contains__(self, key):
        return self.get(key) is not None

    def __getitem__(self, key):
        self.get(key)
        return self._figures[key]

    def keys_under(self, prefix):
        found = super().keys_under(prefix)
        self.listed.setdefault(prefix, tuple(key for key in found if key not in self._own))
        return found


@dataclass(frozen=True)
class Run:
    """What a topic read, and what it entered because of it."""

    as_of: date
    parts: dict
    figures: dict
    listed: dict
    added: tuple
    aliased: tuple

    def holds(self, recorder):
        """Whether the topic would read the same again."""
        program, ledger = recorder.program, recorder.ledger
        return (
            self.as_of == recorder.as_of
            and all(getattr(program, name) == value for name, value in self.parts.items())
            and all(ledger.get(key) == figure for key, figure in self.figures.items())
            and all(ledger.keys_under(prefix) == keys for prefix, keys in self.listed.items())
        )

    def enter(self, ledger):
        for figure in self.added:
            ledger.add(figure)
        for key, real in self.aliased:
            ledger.alias(key, real)


def remembering(topic):
    """The topic, which does nothing twice."""
    runs = []

    def asked(recorder):
        for number, run in enumerate(runs):
            if run.holds(recorder):
                runs.insert(0, runs.pop(number))
                run.enter(recorder.ledger)
                return
        program, ledger = watched(recorder.program), WatchedLedger(recorder.ledger)
        topic(
            FigureRecorder(
                program=program,
                ledger=ledger,
                as_of=recorder.as_of,
                problems=recorder.problems,
                alike=recorder.alike,
            )
        )
        if not recorder.problems:
            made = (dict(program.noted), ledger.noted, ledger.listed, tuple(ledger.added), tuple(ledger.aliased))
            runs.insert(0, Run(recorder.as_of, *made))
            del runs[KEPT:]

    return asked


PLAIN = computing.TOPICS
REMEMBERING = tuple(remembering(topic) for topic in PLAIN)


@contextmanager
def remembered_topics():
    """Computing goes through topics that remember."""
    computing.TOPICS = REMEMBERING
    try:
        yield
    finally:
        computing.TOPICS = PLAIN
