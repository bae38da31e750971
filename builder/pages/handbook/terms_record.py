"""The record of a term of the glossary."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

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
    """Its anchor on the page."""
    name: str
    text: str
    """What it means, in this handbook's own words, without numbers that have a unit."""
    source: str = ""
    """Rule, standard or guidance that uses the term; empty for common practice."""
    checked: str = "practice"
    """A key of ``CHECKED``."""
    also: tuple[str, ...] = ()
    """Other spellings a reader may look for."""
    see: tuple[str, ...] = ()
    """Ids of terms that help to understand it."""
    linked: tuple[str, ...] = ()
    """Phrases that lead here from other pages, where its names do not serve: they are never met, or mean other things.

    One that begins with a capital letter is met with it alone.
    """

    @property
    def phrases(self) -> tuple[str, ...]:
        """Phrases that lead here from other pages; short letters mean too many things."""
        return self.linked or tuple(name for name in (self.name, *self.also) if len(name) > SHORTEST)
