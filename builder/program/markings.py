"""What things and people are marked with: asset numbers, numbers of bottles, initials, however they are written."""

import re
from collections.abc import Mapping

MARKING = re.compile(r"[A-Za-z0-9]+(?:[-_][A-Za-z0-9]+)*")
"""The id of something that bears it."""
UNFIT = re.compile(r"[^A-Za-z0-9]+")
MOST_KEPT = 20_000


def made_id(written: str) -> str:
    """A marking as an id: whatever is neither letter nor digit becomes a hyphen.

    >>> made_id("GD 014/2")
    'GD-014-2'
    """
    return UNFIT.sub("-", written).strip("-")


def matched(written: str) -> str:
    """What two spellings of one id have in common: case and what stands between letters and digits do not count.

    >>> matched("gd 014/2") == matched("GD-014_2")
    True
    """
    return made_id(written).casefold()


class Spellings(dict[str, str]):
    """Whatever is written -> the id that it stands for, or itself; each spelling is worked out once."""

    def __init__(self, ids: Mapping[str, str]) -> None:
        """``ids`` has each id by what all of its spellings have in common, as ``matched`` says."""
        super().__init__()
        self._ids = ids

    def __missing__(self, written: str) -> str:
        """Work it out."""
        found = self._ids.get(matched(written), written)
        if len(self) < MOST_KEPT:
            self[written] = found
        return found
