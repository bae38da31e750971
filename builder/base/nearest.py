"""The closest real names to one that is not known."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def nearest(word: str, known: Iterable[str], count: int = 3) -> tuple[str, ...]:
    """At most ``count`` members of ``known`` that look like ``word``, the closest first."""
    lowered: dict[str, str] = {}
    for name in known:
        lowered.setdefault(name.casefold(), name)
    found = difflib.get_close_matches(word.casefold(), list(lowered), n=count, cutoff=0.6)
    return tuple(lowered[name] for name in found)
