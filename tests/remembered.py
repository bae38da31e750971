"""Topics of figures that are computed anew only where something that they looked at has changed.

Most tests of findings change one line of one small site, and most of its figures stay as they were. A topic is a pure
function of what it reads of the program and of the ledger: both are noted while it runs, and where all of it is equal
the next time, what it entered then is entered again. Equal means equal in text and place too, since whatever the
content says is kept with its spelling and its line. ``tests/figures/test_remembered.py`` holds what comes of it against
a plain computation.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, field, fields
from datetime import date

import pytest

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
    """What was read, and what came of it."""

    as_of: date
    parts: dict
    figures: dict
    listed: dict
    logbook: object
    answer: object
    added: tuple
    aliased: tuple

    def holds(self, program, ledger, as_of, logbook):
        """Whether the same would be read again."""
        return (
            self.as_of == as_of
            and self.logbook is logbook
            and all(getattr(program, name) == value for name, value in self.parts.items())
            and all(ledger.get(key) == figure for key, figure in self.figures.items())
            and all(ledger.keys_under(prefix) == keys for prefix, keys in self.listed.items())
        )

    def enter(self, ledger):
        for figure in self.added:
            ledger.add(figure)
        for key, real in self.aliased:
            ledger.alias(key, real)


@dataclass
class Remembering:
    """Does nothing twice: ``asked(program, ledger)`` is called with what notes all that it reads and adds."""

    runs: list = field(default_factory=list)

    def __call__(self, asked, program, ledger, as_of, problems=(), logbook=None):
        for number, run in enumerate(self.runs):
            if run.holds(program, ledger, as_of, logbook):
                self.runs.insert(0, self.runs.pop(number))
                run.enter(ledger)
                return run.answer
        seen, noting = watched(program), WatchedLedger(ledger)
        answer = asked(seen, noting)
        if not problems:
            read = (dict(seen.noted), noting.noted, noting.listed)
            self.runs.insert(0, Run(as_of, *read, logbook, answer, tuple(noting.added), tuple(noting.aliased)))
            del self.runs[KEPT:]
        return answer


def remembering(topic):
    """A topic, of the plan or of records, that computes nothing twice."""
    remembered = Remembering()

    def asked(recorder, *logbook):
        def run(program, ledger):
            told = {"as_of": recorder.as_of, "problems": recorder.problems, "alike": recorder.alike}
            topic(FigureRecorder(program=program, ledger=ledger, **told), *logbook)

        remembered(run, recorder.program, recorder.ledger, recorder.as_of, recorder.problems, *logbook)

    return asked


def reading_once(read):
    """Reads a logbook anew only where records, or what they are judged by, have changed."""
    remembered = Remembering()
    return lambda program, ledger, as_of: remembered(
        lambda seen, noting: read(seen, noting, as_of), program, ledger, as_of
    )


NAMES = ("TOPICS", "FROM_RECORDS", "read_logbook")
PLAIN = tuple(getattr(computing, name) for name in NAMES)
REMEMBERED = (*(tuple(map(remembering, topics)) for topics in PLAIN[:2]), reading_once(PLAIN[2]))


@contextmanager
def remembered_topics():
    """Computing goes through what remembers."""
    with pytest.MonkeyPatch.context() as patched:
        for name, made in zip(NAMES, REMEMBERED, strict=True):
            patched.setattr(computing, name, made)
        yield
