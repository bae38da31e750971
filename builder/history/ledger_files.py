"""The files of a ledger: ``figures.json`` says which figures stand in which part, and the parts hold them."""

import json
from collections.abc import Callable, Mapping
from typing import Any, Final, TypeAlias

from builder.base.errors import ArchiveError
from builder.base.parted import Parted
from builder.base.record import dataclass

FIGURES: Final = "figures.json"
FORMAT: Final = 2
"""The form of the files of data that is written, and read; it rises when a field changes its meaning."""

Read: TypeAlias = Callable[[str], bytes]
"""Gives the bytes of a file of an edition by name."""


def part_path(at: int) -> str:
    """Where a part of the ledger stands in a site; the first is 0.

    >>> part_path(0)
    'ledger/001.json'
    """
    return f"ledger/{at + 1:03}.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerFiles:
    """A ledger as its files tell it."""

    facts: Mapping[str, Any]
    """What the whole ledger holds for: site, revision, day."""
    figures: Parted[Mapping[str, Any]]
    """Key -> figure; read part by part as they are asked for, which may raise ArchiveError."""

    def path_of(self, key: str) -> str:
        """The file that must hold the figure of ``key``."""
        return part_path(self.figures.part_of(key))


def read_ledger(read: Read, what: str) -> LedgerFiles:
    """The ledger whose files ``read`` gives; ``what`` names its folder in errors.

    :raises ArchiveError: when its index is missing or not of the form that a builder writes.
    """
    index = read_data(read, FIGURES, what)
    try:
        parts = [(str(part["file"]), str(part["first"]), int(part["figures"])) for part in index.pop("parts")]
    except (KeyError, TypeError, ValueError) as fault:
        raise ArchiveError(f"{what}/{FIGURES}: it names its parts otherwise than a builder does: {fault!r}") from fault
    firsts = [first for _, first, _ in parts]
    if [file for file, _, _ in parts] != [part_path(at) for at in range(len(parts))] or firsts != sorted(set(firsts)):
        raise ArchiveError(f"{what}/{FIGURES}: it names its parts otherwise than a builder does")

    def load(at: int) -> Mapping[str, Any]:
        file, first, count = parts[at]
        found = read_data(read, file, what).get("figures")
        beyond = firsts[at + 1] if at + 1 < len(firsts) else None
        if not isinstance(found, dict) or len(found) != count or min(found, default="") != first:
            raise ArchiveError(f"{what}/{file}: it holds other figures than {FIGURES} says")
        if beyond is not None and max(found) >= beyond:
            raise ArchiveError(f"{what}/{file}: it holds figures of the next part")
        return found

    return LedgerFiles(facts=index, figures=Parted(firsts, sum(count for _, _, count in parts), load))


def read_data(read: Read, name: str, what: str) -> dict[str, Any]:
    """A file of data of an edition.

    :raises ArchiveError: when it is missing or not of the form that is read here.
    """
    try:
        found = json.loads(read(name))
    except OSError as fault:
        raise ArchiveError(f"{what}/{name} cannot be read: {fault.strerror}") from fault
    except (ValueError, RecursionError) as fault:
        raise ArchiveError(f"{what}/{name} is no JSON: {fault}") from fault
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        raise ArchiveError(f"{what}/{name}: not of format {FORMAT}")
    return found
