"""What was checked, how many, and what was found wrong."""

import json
from collections.abc import Iterable
from dataclasses import asdict, field

from builder.base.record import dataclass
from builder.base.unseen import visible_json

SHOWN = 400
"""Characters of a text that are shown; the file of all differences has the whole."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is not as it must be."""

    path: str
    """The file, as a path below the site; empty for the site as a whole."""
    what: str
    """In words."""
    wanted: str = ""
    """What must stand there, where that can be shown."""
    found: str = ""
    """What stands there."""

    def __str__(self) -> str:
        shown = f": {_short(self.found)} instead of {_short(self.wanted)}" if self.wanted or self.found else ""
        return f"{self.path}: {self.what}{shown}" if self.path else f"{self.what}{shown}"


def _short(text: str) -> str:
    """A text in quotes, no longer than a few lines of a terminal."""
    return repr(text if len(text) <= SHOWN else f"{text[:SHOWN]}…")


@dataclass(slots=True)
class Check:
    """One kind of check."""

    what: str
    """As in ``checksums``."""
    count: int = 0
    faults: list[Difference] = field(default_factory=list)
    note: str = ""
    """Why it was not made, or what it rests on."""

    def expect(self, good: bool, path: str, what: str) -> bool:
        """Count one thing that was checked; note what is wrong with it unless it is good."""
        return self.compared(() if good else (Difference(path, what),))

    def add_note(self, text: str) -> None:
        """Tell one thing more."""
        self.note = f"{self.note}; {text}" if self.note else text

    def add(self, part: "Check") -> None:
        """Add what another process checked of it."""
        self.count += part.count
        self.faults += part.faults

    def compared(self, differences: Iterable[Difference]) -> bool:
        """Count one thing that was compared, with what was found; whether that is nothing."""
        found = list(differences)
        self.count += 1
        self.faults += found
        return not found


@dataclass(slots=True)
class Report:
    """All checks of one site."""

    checks: list[Check] = field(default_factory=list)

    def check(self, what: str) -> Check:
        """The check of that name, begun at first need."""
        for known in self.checks:
            if known.what == what:
                return known
        made = Check(what)
        self.checks.append(made)
        return made

    def as_json(self) -> str:
        """Everything, for anybody's own program."""
        checks = [
            {"what": check.what, "count": check.count, "wrong": len(check.faults), "note": check.note}
            for check in self.checks
        ]
        told = {"format": 1, "checks": checks, "differences": [asdict(fault) for fault in self.faults]}
        return visible_json(json.dumps(told, ensure_ascii=False, indent=1, sort_keys=True))

    @property
    def faults(self) -> list[Difference]:
        """Everything found wrong, in order."""
        return [fault for check in self.checks for fault in check.faults]
