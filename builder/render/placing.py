"""Where copies of cards lie on sheets: plain data, without the library that draws them there."""

from builder.base.record import dataclass


@dataclass(frozen=True, slots=True)
class Placed:
    """One printed side of a card on a page."""

    side: int
    """Which page of the card's own document it is, from 0."""
    page: int
    """Which page of the sheets it lies on, from 0."""
    left: float
    """Millimetres from the left edge of that page, as it is drawn."""
    top: float
    turned: bool
    """Whether the whole page is given a half turn."""


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy of a card."""

    card: int
    """Which of the cards it is, from 0."""
    sides: tuple[Placed, ...]
