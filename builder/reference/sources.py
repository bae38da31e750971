"""Where published values come from: the citation at the head of each reference table."""

from collections.abc import Mapping
from typing import Final

from builder.base.record import dataclass

EVIDENCE: Final[Mapping[str, str]] = {
    "standard": "value of a technical standard",
    "law": "value of a rule or law",
    "recommendation": "value a public body recommends",
    "evaluated": "measurements weighed by a review body",
    "compiled": "collected from several places",
}
"""Kind of evidence -> what that means. A source has exactly one."""

REQUIRED: Final = ("id", "title", "edition", "locator", "how_read", "checked", "licence", "evidence")
"""Head lines that every table has, none empty."""

OPTIONAL: Final = ("caution", "left_out")
"""Head lines that a table may have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One published source in one edition, and how its values reached this project."""

    id: str
    """Stable id and file name of its table, as in ``iec-60079-20-1-2010``."""
    title: str
    """Title and issuing body, as cited."""
    edition: str
    """Edition, or how far it could be told."""
    locator: str
    """Table or page the values stand in, where the row does not say."""
    how_read: str
    """Which copy was read, and how."""
    checked: str
    """Year and month of that reading."""
    licence: str
    """Terms under which the values may be repeated."""
    evidence: str
    """Kind of evidence, a key of ``EVIDENCE``."""
    caution: str = ""
    """What a reader has to bear in mind with all its values."""
    left_out: str = ""
    """What the source says that the table cannot hold."""

    def cited(self) -> str:
        """Title and edition in one line."""
        return f"{self.title}; edition: {self.edition}"
