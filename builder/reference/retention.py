"""Published minimums of how long records are kept, in our own words; each says whether it was read in its source."""

from functools import cache

from builder.base.record import dataclass
from builder.reference.tables import read_table


@dataclass(frozen=True, slots=True, kw_only=True)
class Minimum:
    """One published minimum."""

    id: str
    what: str
    years: int
    """How many; 0 where the rule names no number."""
    keep: str
    """What it says, with ``{}`` for the years."""
    citation: str
    force: str
    """``law`` or ``guidance``."""
    place: str
    read: bool
    """Whether the rule's own words were read in a stored copy."""


@cache
def minimums() -> tuple[Minimum, ...]:
    """Every minimum, in the order of the table."""
    return tuple(
        Minimum(
            id=minimum_id,
            what=row["what"],
            years=int(row["years_number"] or 0),
            keep=row["keep"],
            citation=row["citation"],
            force=row["force"],
            place=row["place"],
            read=row["read"] == "yes",
        )
        for minimum_id, row in read_table("retention-minimums").rows.items()
    )
