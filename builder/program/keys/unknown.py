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
from builder.program.keys import families as keyed
from builder.program.keys.families import FAMILIES
from builder.program.keys.family import Family, Known
from builder.program.keys.parts import PARTS
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR

IDS: Final = ("area", "card", "check", "cylinder", "model", "procedure", "sensor", "unit")
"""Parts of keys that are ids of the content; gases, what is made of them, and lists come from ``named``."""
CHOICES: Final = {part.name: part.choices for part in PARTS if part.choices}
MOVING: Final[tuple[Family, ...]] = (
    keyed.UNIT_LAST, keyed.UNIT_DUE, keyed.UNIT_DRIFT, keyed.UNIT_NEXT_INTERVAL, keyed.UNIT_NEXT_INTERVAL_FOUND,
    keyed.UNIT_NEXT_INTERVAL_ALLOWED, keyed.UNIT_NEXT_INTERVAL_IN_FORCE, keyed.UNIT_NEXT_INTERVAL_RUN,
    keyed.UNIT_NEXT_INTERVAL_ERROR, keyed.UNIT_SPAN_LEFT, keyed.UNIT_SPAN_END, keyed.CYLINDER_GAS_USED,
    keyed.CYLINDER_GAS_NOW, keyed.CYLINDER_TESTS_LEFT, keyed.CYLINDER_TESTS_A_DAY, keyed.CYLINDER_RUNS_OUT,
    keyed.CYLINDER_USABLE_UNTIL, keyed.CYLINDER_REORDER_BY, keyed.STATION_LEAK_TESTED, keyed.STATION_LEAK_DUE,
    keyed.STATION_LOG_UNTIL, keyed.RECORD_DAY, keyed.RECORD_AS_FOUND, keyed.RECORD_AS_LEFT, keyed.RECORD_SECONDS,
    keyed.RECORD_DAYS, keyed.CHECK_ADJUST_LEAST, keyed.CHECK_ADJUST_MOST,
)  # fmt: skip
"""What records make: the next row, or a week without any, may take such a figure away, and it may come again."""
ALLOWED: Final = "a key of docs/keys.md"
CLOSE: Final = 0.6
"""How much alike two keys must be for one to be told as the nearest of the other, as in ``difflib``."""


def named(gases: Collection[str] | None, lists: Collection[str] | None) -> dict[str, Collection[str] | None]:
    """The parts that need no id of their own: a gas (or its formula), a channel, a list of exposure limits."""
    channels = None if gases is None else {*gases, FLAMMABLE, OXYGEN, VAPOUR}
    return {"gas": gases, "channel": channels, "list": lists}


def fits(key: str, known: Known, families: Iterable[Family] = FAMILIES) -> bool:
    """Whether one of these families may have the key."""
    return any(family.fits(key, {**CHOICES, **known}) for family in families)


def unknown_keys(quoted: Iterable[Given[str]], known: Known) -> Iterator[Problem]:
    """A fault for each key that no family has, with the nearest keys that one has."""
    names: Known = {**CHOICES, **known}
    for given in quoted:
        if not fits(given.value, known):
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
