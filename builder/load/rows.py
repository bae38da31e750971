"""A table read row by row, and its faults: the first of them in full, the rest as a number."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import zip_longest

from builder.base.errors import MOST_TOLD, ContentError, Problem, refusal, uncounted
from builder.base.fault_kinds import Kind
from builder.base.nearest import Close, found_close
from builder.base.noting import Noting
from builder.base.record import dataclass
from builder.base.where import Where

MOST_COLUMNS = 500
"""Columns a table may have."""


class RowFaults(Noting):
    """Faults in the rows of one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.count = 0
        self._shown: list[Problem] = []
        self._last = 1

    def note(self, kind: Kind, where: int, found: str, allowed: str, close: Close) -> None:
        """Note a fault in the row of this number."""
        self.count += 1
        self._last = max(self._last, where)
        if len(self._shown) < MOST_TOLD:
            self._shown.append(Problem(Where(self.file, where), found, allowed, found_close(close), kind))

    def problems(self) -> list[Problem]:
        """What is to be told, in the order found; the rest is counted at the last faulty row."""
        rest = self.count - len(self._shown)
        if not rest:
            return list(self._shown)
        return [*self._shown, uncounted(self.file, self._last, rest)]


@dataclass(frozen=True, slots=True)
class TableRows:
    """The column heads of a table, and its rows as they are read; they can be gone through once."""

    file: str
    line: int
    """Row of the heads."""
    head: tuple[str, ...]
    body: Iterator[tuple[int, list[str]]]
    """Row number, and one trimmed text a head."""
    faults: RowFaults
    """Rows that could not be read; complete once ``body`` was gone through."""


def tidy_head(cells: Sequence[str], file: str, line: int) -> tuple[str, ...]:
    """Column heads without line breaks and doubled blanks.

    :raises ContentError: when there are none, or one stands twice.
    """
    head = tuple(" ".join(cell.split()) for cell in cells)
    if not any(head):
        raise refusal(Kind.TABLE_FORM, Where(file, line), "no column heads", "a first row with the column heads")
    if len(head) > MOST_COLUMNS:
        raise refusal(Kind.TOO_BIG, Where(file, line), f"{len(head)} columns", f"at most {MOST_COLUMNS} columns")
    doubled = sorted(name for name, count in Counter(head).items() if name and count > 1)
    if doubled:
        raise ContentError(
            Problem(Where(file, line), f"column head {name!r} stands twice", "each head once", kind=Kind.TWICE)
            for name in doubled
        )
    return head


def under_groups(upper: Sequence[str], lower: Sequence[str]) -> list[str]:
    """Heads of which several stand under a common one, each with that one before it.

    >>> under_groups(["Asset", "H2S", ""], ["", "found", "left"])
    ['Asset', 'H2S found', 'H2S left']
    """
    made: list[str] = []
    group = ""
    for above, below in zip_longest(upper, lower, fillvalue=""):
        group = above or group
        made.append(f"{group} {below}".strip() if below and above != below else above)
    return made


def under_heads(
    head: tuple[str, ...], body: Iterator[tuple[int, list[str]]], faults: RowFaults
) -> Iterator[tuple[int, list[str]]]:
    """The rows without the columns that have no head; a value in one of those is a fault."""
    named = [n for n, name in enumerate(head) if name]
    if len(named) == len(head):
        yield from body
        return
    bare = [n for n, name in enumerate(head) if not name]
    for line, cells in body:
        for n in bare:
            if cells[n]:
                faults.form(line, f"{cells[n]!r} in column {n + 1}, which has no head", "a head above each value")
        yield line, [cells[n] for n in named]
