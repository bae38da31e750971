"""At which readings a site lets people go in or begin hot work, in one phrase of the reader's language."""

from typing import Protocol

from builder.figures.ledger import Ledger
from builder.pages.blocks import Fig, Inlines


class Says(Protocol):
    """Whatever puts figures into one of the builder's own sentences."""

    def __call__(self, text: str, **parts: Inlines | str) -> Inlines:
        """The sentence in the reader's language."""


def accepted(say: Says, ledger: Ledger, low: str, high: str, *, bare: bool = False) -> Inlines:
    """From one figure to another, or up to it; nothing where the site sets no upper one. The unit stands once."""
    if high not in ledger:
        return ()
    top: Inlines = (Fig(high, bare=bare, decisive=True),)
    if low in ledger:
        return say("{low} to {high}", low=(Fig(low, bare=True, decisive=True),), high=top)
    return say("up to {high}", high=top) if ledger[high].rounded else top
