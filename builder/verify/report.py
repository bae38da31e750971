"""What was checked, how many, and what was found wrong."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class Check:
    """One kind of check."""

    what: str
    """As in ``figures on pages``."""
    count: int = 0
    faults: list[str] = field(default_factory=list)
    note: str = ""
    """Why it was not made, or what it rests on."""

    def expect(self, good: bool, fault: str) -> bool:
        """Count one thing that was checked; note ``fault`` unless it is good."""
        self.count += 1
        if not good:
            self.faults.append(fault)
        return good


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

    @property
    def faults(self) -> list[str]:
        """Every fault, in the order found."""
        return [fault for check in self.checks for fault in check.faults]
