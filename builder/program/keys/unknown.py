"""Keys that no figure can have, so that a misspelt one is told together with the other faults of the content.

Only the ledger knows which figures there are, and it is made from content that is sound. Until then a key is held
against the forms of all families and the ids that are defined.
"""

import difflib
from collections.abc import Collection, Iterable, Iterator
from typing import Final

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.where import Given
from builder.program.keys.families import FAMILIES
from builder.program.keys.family import Known
from builder.program.keys.parts import PARTS
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR

IDS: Final = ("area", "card", "check", "cylinder", "model", "procedure", "sensor", "unit")
"""Parts of keys that are ids of the content; gases, what is made of them, and lists come from ``named``."""
CHOICES: Final = {part.name: part.choices for part in PARTS if part.choices}
ALLOWED: Final = "a key of docs/keys.md"
CLOSE: Final = 0.6
"""How much alike two keys must be for one to be told as the nearest of the other, as in ``difflib``."""


def named(gases: Collection[str] | None, lists: Collection[str] | None) -> dict[str, Collection[str] | None]:
    """The parts that need no id of their own: a gas (or its formula), a channel, a list of exposure limits."""
    channels = None if gases is None else {*gases, FLAMMABLE, OXYGEN, VAPOUR}
    return {"gas": gases, "channel": channels, "list": lists}


def unknown_keys(quoted: Iterable[Given[str]], known: Known) -> Iterator[Problem]:
    """A fault for each key that no family has, with the nearest keys that one has."""
    names: Known = {**CHOICES, **known}
    for given in quoted:
        if not any(family.fits(given.value, names) for family in FAMILIES):
            yield Problem(
                given.where,
                f"no figure has the key {given.value!r}",
                ALLOWED,
                _nearest(given.value, names),
                kind=Kind.FIGURE_UNKNOWN,
            )


def _nearest(key: str, names: Known) -> tuple[str, ...]:
    """At most three keys in which every part that is wrong was replaced by the nearest right one."""
    made = (family.nearest(key, names) for family in FAMILIES)
    return tuple(difflib.get_close_matches(key, dict.fromkeys(filter(None, made)), n=3, cutoff=CLOSE))
