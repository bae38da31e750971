"""The terms of the glossary, read from ``templates/prose/glossary.yaml``, which says what each of its keys means."""

from dataclasses import dataclass, fields
from functools import cache
from typing import Final

from builder.base.errors import ContentError
from builder.base.shipped import shipped_folder
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.load.yaml_lines import readable_yaml

CHECKED: Final = {
    "read": "read in its own words",
    "seen": "seen through accounts of it; read the original before relying on its words",
    "memory": "named from memory; to be confirmed there",
    "practice": "common practice, no source",
}
"""How well a source was checked -> the words for it."""
LISTS: Final = ("also", "see", "linked")
SHORTEST: Final = 2
"""Letters up to which another spelling is no phrase to look for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GlossaryTerm:
    """One term."""

    id: str
    name: str
    text: str
    source: str = ""
    """Rule, standard or guidance that uses the term; empty for common practice."""
    checked: str = "practice"
    """A key of ``CHECKED``."""
    also: tuple[str, ...] = ()
    see: tuple[str, ...] = ()
    linked: tuple[str, ...] = ()

    @property
    def phrases(self) -> tuple[str, ...]:
        """Phrases that lead here from other pages; short letters mean too many things."""
        return self.linked or tuple(name for name in (self.name, *self.also) if len(name) > SHORTEST)


@dataclass(frozen=True, slots=True, kw_only=True)
class TermGroup:
    """Terms that are read together."""

    title: str
    terms: tuple[GlossaryTerm, ...]


@cache
def term_groups() -> tuple[TermGroup, ...]:
    """Every term in the order of the page.

    :raises ContentError: for a file that is no YAML.
    :raises TypeError: for one of another shape, or a key that no term has.
    """
    path = shipped_folder() / "prose" / "glossary.yaml"
    root, problems = readable_yaml(path.read_text(encoding="utf-8"), path.name)
    if problems:
        raise ContentError(problems)
    return tuple(
        TermGroup(title=_text(part["group"]), terms=tuple(_term(node) for node in _items(part["terms"])))
        for part in map(_entries, _items(root))
    )


@cache
def all_terms() -> tuple[GlossaryTerm, ...]:
    """Every term without its group."""
    return tuple(term for group in term_groups() for term in group.terms)


def _term(node: Node) -> GlossaryTerm:
    parts = _entries(node)
    unknown = sorted(parts.keys() - {field.name for field in fields(GlossaryTerm)})
    if unknown:
        raise TypeError(f"{node.where}: no key of a term: {', '.join(unknown)}")
    also, see, linked = (tuple(map(_text, _items(parts[key]))) if key in parts else () for key in LISTS)
    return GlossaryTerm(
        id=_text(parts["id"]),
        name=_text(parts["name"]),
        text=_text(parts["text"]),
        source=_text(parts["source"]) if "source" in parts else "",
        checked=_text(parts["checked"]) if "checked" in parts else "practice",
        also=also,
        see=see,
        linked=linked,
    )


def _entries(node: Node) -> dict[str, Node]:
    if not isinstance(node, Entries):
        raise TypeError(f"{node.where}: keys and values are wanted")
    return {name.text: part for name, part in node.entries}


def _items(node: Node | None) -> tuple[Node, ...]:
    if not isinstance(node, Items):
        raise TypeError("glossary.yaml: a list is wanted" if node is None else f"{node.where}: a list is wanted")
    return node.items


def _text(node: Node) -> str:
    if not isinstance(node, Scalar):
        raise TypeError(f"{node.where}: a text is wanted")
    return node.text
