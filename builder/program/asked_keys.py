"""One mapping of the content as its reader goes through it: which keys it asked for, and which nobody did."""

from builder.base.errors import MOST_TOLD
from builder.base.fault_kinds import Kind
from builder.base.nearest import near, nearest
from builder.base.where import Where
from builder.load.nodes import Entries, Node, Scalar, kind_of
from builder.program.asking import asking
from builder.program.faults import NOWHERE, Faults
from builder.program.values import UNENTERED, blank


class AskedKeys:
    """The keys of one mapping, each asked for once; ``close`` refuses the keys nobody asked for."""

    def __init__(self, node: Node | None, faults: Faults, what: str, above: Where | None = None) -> None:
        self.faults = faults
        self.what = what
        self._asked: list[str] = []
        self._lacking: list[str] = []
        self.usable = isinstance(node, Entries)
        """False for what is no mapping; that was noted, so nothing is said of the keys it lacks."""
        if isinstance(node, Entries):
            self.node = node
        else:
            self.node = Entries((), node.where if node else above or NOWHERE)
            if node is not None:
                faults.shape(node.where, f"{kind_of(node)} where {what} was expected", "a mapping of key: value")
        self.where = self.node.where
        self.telling = False  # true while a watched reader asks for a part of its own

    def __contains__(self, key: str) -> bool:
        return self.node.get(key) is not None

    def where_of(self, key: str) -> Where:
        """Line of a key, or of the mapping."""
        return next((name.where for name, _ in self.node.entries if name.text == key), self.where)

    def value_at(self, key: str) -> Where:
        """Line of the single value of a key; of the key, or the mapping, where there is none."""
        node = self.node.get(key)
        return node.where if isinstance(node, Scalar) and not blank(node) else self.where_of(key)

    @asking
    def take(self, key: str) -> Node | None:
        """The node under a key, marking it as known."""
        self._asked.append(key)
        node = self.node.get(key)
        if isinstance(node, Scalar) and node.text.startswith(UNENTERED):
            self.faults.unentered[node.where] = key
        return node

    @asking
    def need(self, key: str) -> Node | None:
        """The node under a key that must be there."""
        node = self.take(key)
        if node is None or blank(node):
            if self.usable:
                self._lacking.append(key)
                self.faults.lacks(self.where_of(key), self._lacks(key), f"key {key}")
            return None
        return node

    def _lacks(self, key: str) -> str:
        return f"{self.what} has no {key!r}"

    def close(self) -> None:
        """Refuse every key that was not asked for."""
        allowed = "keys " + ", ".join(dict.fromkeys(self._asked))
        unknown = [name for name, _ in self.node.entries if name.text not in self._asked]
        for number, name in enumerate(unknown):
            compared = number < MOST_TOLD  # what is not told needs no match
            meant = next(iter(nearest(name.text, self._lacking)), "") if compared else ""  # one slip is told once
            if meant:
                self._lacking.remove(meant)
                self.faults.withdraw(Kind.KEY_MISSING, self.where_of(meant), self._lacks(meant))
            close = (meant,) if meant else near(name.text, self._asked) if compared else ()
            self.faults.key(name.where, f"unknown key {name.text!r} in {self.what}", allowed, close)

    def pass_over(self) -> None:
        """Take every key as known: what they should be hangs on one that is wrong and was noted."""
        self._asked += [name.text for name, _ in self.node.entries]
