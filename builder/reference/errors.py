"""Errors of the reference data.

HandbookError
├── TableError              a shipped table is malformed: a fault of the builder, not of the author
└── UnknownNameError        no gas, source, property, list, place, activity, element or quantity has that name
    └── UnknownGasError     no gas has that id, name, formula, CAS number or synonym
        └── AmbiguousGasError   several gases have it
"""

from __future__ import annotations

from typing import Any

from builder.base.errors import HandbookError


class TableError(HandbookError):
    """A table that ships with the builder breaks the form all tables share."""

    def __init__(self, table: str, line: int, found: str) -> None:
        self.table = table
        self.line = line
        self.found = found
        super().__init__(f"reference table {table}.csv, line {line}: {found}")

    def __reduce__(self) -> tuple[type[TableError], tuple[str, int, str]]:
        return (type(self), (self.table, self.line, self.found))


class UnknownNameError(HandbookError):
    """A name is not in the reference data; ``nearest`` has the closest ones that are."""

    def __init__(self, what: str, name: str, nearest: tuple[str, ...] = ()) -> None:
        self.what = what
        self.name = name
        self.nearest = nearest
        super().__init__(self._message())

    def _message(self) -> str:
        hint = f"; nearest: {', '.join(self.nearest)}" if self.nearest else ""
        return f"no {self.what} is called {self.name!r}{hint}"

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self), (self.what, self.name, self.nearest))


class UnknownGasError(UnknownNameError):
    """No gas of the reference library has this id, name, formula, CAS number or synonym."""

    def __init__(self, name: str, nearest: tuple[str, ...] = ()) -> None:
        super().__init__("gas", name, nearest)

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self), (self.name, self.nearest))


class AmbiguousGasError(UnknownGasError):
    """Several gases share this text, such as the formula of isomers; ``nearest`` has all of them."""

    def _message(self) -> str:
        return f"{self.name!r} is more than one gas: {', '.join(self.nearest)}"
