"""A place in the author's files, and a value that remembers where it was written."""

from __future__ import annotations

from dataclasses import field
from typing import Generic, TypeVar

from builder.base.record import dataclass

T = TypeVar("T")
U = TypeVar("U")


@dataclass(frozen=True, slots=True, order=True)
class Where:
    """A line of a content file; the path is relative to the content folder, so output never depends on the machine."""

    file: str
    """Path below the content folder, with forward slashes."""
    line: int
    """First line is 1."""
    column: int = field(default=0, compare=False, repr=False)
    """First character of what is meant is 1; 0 where only the line is known. It shows the place, and makes no other."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"


@dataclass(frozen=True, slots=True)
class Given(Generic[T]):
    """A value together with the line that gave it and the author's own spelling."""

    value: T
    """The parsed value."""
    where: Where
    """The line it stands on."""
    text: str
    """The text as the author wrote it."""

    def becoming(self, value: U) -> Given[U]:
        """The same place and spelling with another value (used when a text is parsed further)."""
        return Given(value, self.where, self.text)
