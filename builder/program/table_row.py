"""Rows of tables, read alike whatever they tell of: texts, moments and days by name, and what is wrong with them."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import TypeVar

from builder.base.nearest import near
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.rows import RowFaults
from builder.load.tables import SourceTable
from builder.program.clock_times import TimeError
from builder.program.column_maps import ColumnMap
from builder.program.columns import OpenTable, open_tables
from builder.program.faults import Faults
from builder.program.table_kinds import TableKind

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row in the builder's words, of which what is wrong is noted with its table."""

    table: OpenTable
    where: Where
    fields: Mapping[str, str]
    written: Mapping[str, str]

    @property
    def faults(self) -> RowFaults:
        """The faults of its table."""
        return self.table.rows.faults

    def text(self, name: str) -> Given[str]:
        """A text that every row has."""
        return Given(self.fields[name], self.where, self.written.get(name, self.fields[name]))

    def maybe_text(self, name: str) -> Given[str] | None:
        """A text that a row may have."""
        return self.text(name) if name in self.fields else None

    def time(self, name: str) -> Given[datetime] | None:
        """A moment; ``None`` where there is none, or none that can be read."""
        if name not in self.fields:
            return None
        try:
            return Given(self.table.clock.read(self.fields[name]), self.where, self.fields[name])
        except TimeError as error:
            self.faults.time(self.where.line, error.found.replace("'time'", repr(name)), error.allowed)
            return None

    def day(self, name: str) -> Given[date] | None:
        """A day; ``None`` where there is none, or none that can be read."""
        if name not in self.fields:
            return None
        try:
            return Given(self.table.clock.day(self.fields[name]), self.where, self.fields[name])
        except TimeError as error:
            self.faults.time(self.where.line, f"{name}: {error.found}", error.allowed)
            return None

    def judge_word(self, name: str, words: Sequence[str]) -> None:
        """Note a text that is none of these words."""
        text = self.fields.get(name)
        if text is not None and text not in words:
            allowed = "one of " + ", ".join(words)
            self.faults.choice(self.where.line, f"{text!r} for {name!r}", allowed, near(text, words))

    def judge_id(self, name: str, known: Collection[str] | None, allowed: str) -> None:
        """Note an id that is none of those known, if any are."""
        text = self.fields.get(name)
        if text and known and text not in known:
            self.faults.unknown(self.where.line, f"unknown {name} {text!r}", allowed, near(text, known))


def rows_read(
    tables: Iterable[SourceTable],
    maps: tuple[ColumnMap, ...],
    kind: TableKind,
    faults: Faults,
    read: Callable[[TableRow], T | None],
) -> list[T]:
    """What each row of each table is read as, in the order of files and rows; malformed ones are noted and left out."""
    rows = (TableRow(table, *row) for table in open_tables(tables, maps, kind, faults) for row in table.body())
    return [made for row in rows if (made := read(row)) is not None]
