"""One content laid over another: by key, by id in lists, and whole where a file is one thing; nothing goes in silence.

What stands in both is the nearer folder's. What is to go says so where it stood: ``remove: why``.
"""

from collections.abc import Iterator, Mapping
from dataclasses import field
from typing import TypeAlias, TypeVar

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.nearest import nearest
from builder.base.record import dataclass
from builder.base.where import Where
from builder.load.markdown import Document
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.load.own_templates import Template

REMOVE = "remove"
IDENTITIES = ("id", "gas", "position", "what", "by")
"""Keys by which entries of a list are known, the first that an entry has; ``areas`` tells two of one apart."""
OWN = (
    *("plan.svg", "cylinders.yaml", "stations.yaml", "accepted.yaml", "copies.yaml"),
    *("inventory.yaml", "inventory.csv", "inventory.tsv", "inventory.xlsx"),
    *("revisions", "records", "readback", "movements", "station-log"),
)
"""Files and folders that a site has and nobody else: bottles stand somewhere, and who answers does so for one site."""
OWN_KEYS: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "site.yaml": (("extends",), ("name",), ("short",), ("ambient",), ("published-at",), ("document", "reviewed"))
}
"""Keys, by file, that hold for one place only; what another folder says of its own is not handed on."""

Step: TypeAlias = str
Whole = TypeVar("Whole", Document, Template)


@dataclass(frozen=True, slots=True, kw_only=True)
class Override:
    """What one folder says in place of another."""

    file: str
    """The file as the content folder has it."""
    path: tuple[Step, ...]
    """Keys, and ids of entries of lists, from the top of the file; empty for the whole of it."""
    own: Where
    inherited: Where
    """The line that no longer holds."""
    said: str = ""
    """The value in its place, where both are single values."""
    before: str = ""
    """The value that no longer holds."""
    removed: str = ""
    """Why it is taken out; empty where another stands in its place."""
    gone: tuple[tuple[tuple[Step, ...], str], ...] = ()
    """Every single value below ``path`` that is lost, by its path, where something was taken out or replaced whole."""


@dataclass(slots=True)
class Overlay:
    """Lays nodes over each other, noting what that does."""

    overrides: list[Override] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def files(self, own: Mapping[str, Node], other: Mapping[str, Node]) -> dict[str, Node]:
        """Structured files; those of folders are one thing each, and so is the nearer one whole."""
        made = {name: _handed_on(name, node) for name, node in other.items()}
        for name, node in own.items():
            if name not in made or "/" in name:
                self._whole(name, node, made.get(name))
                made[name] = node
                if _reason(node) is not None:
                    del made[name]
                continue
            merged = self._node(name, (), node, made.pop(name))
            if merged is not None:
                made[name] = merged
        return made

    def wholes(self, own: Mapping[str, Whole], other: Mapping[str, Whole]) -> dict[str, Whole]:
        """Files of prose and templates, each one thing."""
        made = dict(other)
        for name, document in own.items():
            below = made.pop(name, None)
            self._whole(name, document.front, below.front if below else None)
            if _reason(document.front) is None:
                made[name] = document
        return made

    def _whole(self, name: str, own: Node | None, other: Node | None) -> None:
        reason = _reason(own)
        if own is None or (reason is None and other is None):
            return
        if reason is not None and (other is None or not reason.text):
            self._vain(reason, name, bool(other), ())
        if other is not None:
            removed = reason.text if reason else ""
            self._note(name, (), own.where, other, removed=removed)

    def _vain(self, reason: Scalar, what: str, there: bool, near: tuple[str, ...]) -> None:
        if there:
            self.problems.append(
                Problem(reason.where, f"{what} is taken out without a word", "remove: why", kind=Kind.EXTENDED)
            )
        else:
            found = f"{what} is to be taken out, and no extended folder has it"
            self.problems.append(Problem(reason.where, found, "what an extended folder has", near, Kind.EXTENDED))

    def _note(self, file: str, path: tuple[Step, ...], own: Where, other: Node, *, removed: str = "") -> None:
        gone = tuple(_values(path, other))
        made = Override(file=file, path=path, own=own, inherited=other.where, removed=removed, gone=gone)
        self.overrides.append(made)

    def _node(self, file: str, path: tuple[Step, ...], own: Node, other: Node) -> Node | None:
        """What holds at one place; nothing where it is taken out."""
        reason = _reason(own)
        if reason is not None:
            if not reason.text:
                self._vain(reason, "/".join(path) or file, True, ())
            self._note(file, path, reason.where, other, removed=reason.text or "?")
            return None
        if _says_nothing(own) and not _says_nothing(other):
            found = f"nothing where what {other.where} says would hold"
            allowed = f"a value, no such key, or {{{REMOVE}: why}}"
            self.problems.append(Problem(own.where, found, allowed, kind=Kind.EXTENDED))
        if isinstance(own, Entries) and isinstance(other, Entries):
            return self._entries(file, path, own, other)
        if isinstance(own, Items) and isinstance(other, Items):
            return self._items(file, path, own, other)
        if isinstance(own, Scalar) and isinstance(other, Scalar):
            return self._scalar(file, path, own, other)
        self._note(file, path, own.where, other)
        return own

    def _scalar(self, file: str, path: tuple[Step, ...], own: Scalar, other: Scalar) -> Scalar:
        if own.text != other.text:
            self.overrides.append(
                Override(file=file, path=path, own=own.where, inherited=other.where, said=own.text, before=other.text)
            )
        return own

    def _entries(self, file: str, path: tuple[Step, ...], own: Entries, other: Entries) -> Entries:
        said = {key.text: (key, node) for key, node in own.entries}
        made: list[tuple[Scalar, Node]] = []
        for key, node in other.entries:
            mine = said.pop(key.text, None)
            if mine is None:
                made.append((key, node))
                continue
            merged = self._node(file, (*path, key.text), mine[1], node)
            if merged is not None:
                made.append((mine[0], merged))
        made += self._new(said, path, [key.text for key, _ in other.entries])
        return Entries(tuple(made), own.where)

    def _new(
        self, said: Mapping[str, tuple[Scalar, Node]], path: tuple[Step, ...], known: list[str]
    ) -> Iterator[tuple[Scalar, Node]]:
        """What only the nearer folder has."""
        for name, (key, node) in said.items():
            reason = _reason(node)
            if reason is None:
                yield key, node
            else:
                self._vain(reason, "/".join((*path, name)), False, nearest(name, known))

    def _items(self, file: str, path: tuple[Step, ...], own: Items, other: Items) -> Items:
        mine, theirs = _by_identity(own), _by_identity(other)
        if mine is None or theirs is None:
            if [*_values((), own)] != [*_values((), other)]:
                self._note(file, path, own.where, other)
            return own
        known = {name: (Scalar(name, node.where), node) for name, node in mine.items()}
        there = Entries(tuple((Scalar(name, node.where), node) for name, node in theirs.items()), other.where)
        merged = self._entries(file, path, Entries(tuple(known.values()), own.where), there)
        return Items(tuple(node for _, node in merged.entries), own.where)


def inherited(name: str) -> bool:
    """Whether a file or folder of an extended folder is handed on.

    >>> inherited("setpoints.yaml"), inherited("cylinders.yaml"), inherited("records")
    (True, False, False)
    """
    return name not in OWN


def _handed_on(file: str, node: Node) -> Node:
    for path in OWN_KEYS.get(file, ()):
        node = _without(node, path, file)
    return node


def _without(node: Node, path: tuple[str, ...], file: str) -> Node:
    """A mapping without what lies at a path; what it lacks then is to be said in the nearer folder's file."""
    if not isinstance(node, Entries):
        return node
    first, *rest = path
    made: list[tuple[Scalar, Node]] = []
    for key, part in node.entries:
        if key.text != first:
            made.append((key, part))
        elif rest:
            made.append((key, _without(part, tuple(rest), file)))
    return Entries(tuple(made), node.where if len(made) == len(node.entries) else Where(file, 1))


def _reason(node: Node | None) -> Scalar | None:
    """Why an entry is to go, where it says that and nothing else but what it is."""
    found = node.get(REMOVE) if isinstance(node, Entries) else None
    if not isinstance(found, Scalar) or not isinstance(node, Entries):
        return None
    others = {key.text for key, _ in node.entries} - {REMOVE, *IDENTITIES, "areas", "channel"}
    return None if others else found


def _says_nothing(node: Node) -> bool:
    """Whether a key has nothing after it, or an empty list: which would drop in silence what is inherited."""
    return not (node.text if isinstance(node, Scalar) else node.items if isinstance(node, Items) else node.entries)


def _by_identity(items: Items) -> dict[str, Node] | None:
    """Entries of a list by what they are; nothing where one cannot be told, or two are the same."""
    made: dict[str, Node] = {}
    for item in items.items:
        name = _identity(item)
        if not name or name in made:
            return None
        made[name] = item
    return made


def _identity(node: Node) -> str:
    """What an entry is, as in ``wet-well`` or ``flammable in all``; empty where it does not say.

    A setpoint has a channel and areas and no id.
    """
    if not isinstance(node, Entries):
        return ""
    named = next((part for key in (*IDENTITIES[:1], "channel", *IDENTITIES[1:]) if (part := node.get(key))), None)
    if not isinstance(named, Scalar) or not named.text:
        return ""
    areas = node.get("areas") if node.get("id") is None else None
    if isinstance(areas, Items):
        listed = ", ".join(sorted(item.text for item in areas.items if isinstance(item, Scalar)))
        return f"{named.text} in {listed}"
    return f"{named.text} in {areas.text}" if isinstance(areas, Scalar) else named.text


def _values(path: tuple[Step, ...], node: Node) -> Iterator[tuple[tuple[Step, ...], str]]:
    """Every single value below a node, by its path."""
    if isinstance(node, Scalar):
        yield path, node.text
    elif isinstance(node, Entries):
        for key, part in node.entries:
            yield from _values((*path, key.text), part)
    else:
        for number, part in enumerate(node.items, start=1):
            yield from _values((*path, _identity(part) or str(number)), part)
