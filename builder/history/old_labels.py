"""Labels of units as an edition recorded them before it kept apart what a label tells of its unit.

Such an edition has all words of a sheet of labels in one list, those included that are left out for want of room. It
is held label by label against one that keeps them apart, so that what is only recorded otherwise is no change.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from builder.history.edition import Edition
from builder.program.keys.families import UNIT_DUE

MARKS = re.compile(r" · |; |\. ")
"""What stands between two things of one line; it was another mark in earlier editions."""
AFTER_NAME = ": "
"""Between the name of a label and what it tells of its unit."""


def old_label_pairs(old: Edition, new: Edition, path: str) -> tuple[tuple[str, str], ...] | None:
    """The labels of a sheet that say something else now, each before and after; ``None`` where they cannot be compared.

    What the old label had no room for it did not record either, and a day on which another check is due is not kept
    any more: neither is compared. Whatever else stood on an old label and is not said of the unit now is a change.
    """
    words, now, about = old.documents.get(path), new.documents.get(path), (new.about_units or {}).get(path)
    if old.about_units is not None or words is None or now is None or about is None:
        return None
    if not about:  # labels of cylinders or hoses, which tell all that they told
        return () if _parts(words) == _parts(now) else None
    of_unit = {name: told for name, _, told in (line.partition(AFTER_NAME) for line in about)}
    names = {*of_unit, *_units(old), *_units(new)}
    before, after = _by_name(words, names), _by_name(now, names)
    return tuple(
        ("; ".join(was), "; ".join((*told, *filter(None, (of_unit.get(name),)))))
        for name in dict.fromkeys((*before, *after))
        for was, told in ((before.get(name, ()), after.get(name, ())),)
        if _differ(was, told, of_unit.get(name, ""), tuple(_due(old, name)))
    )


def _units(edition: Edition) -> Iterator[str]:
    start = f"{UNIT_DUE.start()}."
    return (key.split(".")[1] for key in edition.figures if key.startswith(start))


def _due(old: Edition, name: str) -> Iterator[str]:
    """The days on which checks of a unit were due."""
    start = f"{UNIT_DUE.start(unit=name)}."
    return (figure.printed for key, figure in old.figures.items() if key.startswith(start) and UNIT_DUE.read(key))


def _by_name(lines: Iterable[str], names: set[str]) -> Mapping[str, tuple[str, ...]]:
    """Name of a label -> its words; a sheet has no two of one name. What stands before the first has none."""
    found: dict[str, list[str]] = {}
    name = ""
    for line in lines:
        name = line if line in names else name
        found.setdefault(name, []).append(line)
    return {name: tuple(lines) for name, lines in found.items()}


def _differ(before: Iterable[str], surely: Iterable[str], may: str, due: tuple[str, ...]) -> bool:
    """Whether a label said other words than now, of which it has some for sure and others where there is room."""
    was, told, more = (Counter(_parts(lines)) for lines in (before, surely, [may]))
    return bool(told - was) or not all(part.endswith(due) for part in (was - told - more).elements())


def _parts(lines: Iterable[str]) -> list[str]:
    return [part for line in lines for part in MARKS.split(line)]
