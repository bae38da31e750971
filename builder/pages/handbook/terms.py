"""The terms of the glossary, read from ``templates/prose/glossary.yaml``, which says what each of its keys means."""

from dataclasses import dataclass
from functools import cache
from typing import Final

from builder.load.shipped_yaml import shipped_yaml

CHECKED: Final = {
    "read": "read in its own words",
    "seen": "seen through accounts of it; read the original before relying on its words",
    "memory": "named from memory; to be confirmed there",
    "practice": "common practice, no source",
}
"""How well a source was checked -> the words for it."""
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

    group: str
    terms: tuple[GlossaryTerm, ...]


@cache
def term_groups() -> tuple[TermGroup, ...]:
    """Every term in the order of the page.

    :raises ContentError: for a file that is no YAML.
    :raises TypeError: for one of another shape, or a key that no term has.
    """
    return shipped_yaml("prose/glossary.yaml", tuple[TermGroup, ...])


@cache
def all_terms() -> tuple[GlossaryTerm, ...]:
    """Every term without its group."""
    return tuple(term for group in term_groups() for term in group.terms)
