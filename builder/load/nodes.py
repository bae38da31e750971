"""What a structured file looks like once read: text, lists and mappings that know their line."""

from __future__ import annotations

from typing import TypeAlias

from builder.base.record import dataclass
from builder.base.where import Where


@dataclass(frozen=True, slots=True)
class Scalar:
    """One value exactly as written; what it means is decided by whoever asks for it."""

    text: str
    where: Where
    empty: bool = False
    """True for a key with nothing after it."""


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    items: tuple[Node, ...]
    where: Where


@dataclass(frozen=True, slots=True)
class Entries:
    """A mapping, in the author's order; keys are unique."""

    entries: tuple[tuple[Scalar, Node], ...]
    where: Where

    def get(self, key: str) -> Node | None:
        """The node under ``key``, or ``None``."""
        return next((node for name, node in self.entries if name.text == key), None)


Node: TypeAlias = Scalar | Items | Entries


def kind_of(node: Node) -> str:
    """What a node is, for messages."""
    if isinstance(node, Scalar):
        return "nothing" if node.empty else f"text {node.text!r}"
    return "a list" if isinstance(node, Items) else "a mapping"
