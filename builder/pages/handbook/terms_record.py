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


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
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
