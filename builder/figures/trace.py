"""The derivation of a figure as a tree of plain data."""

from __future__ import annotations

from dataclasses import dataclass

from builder.figures.figure import Figure, Input
from builder.figures.ledger import Ledger


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One node of a derivation: a figure with what it was made from, or a given value."""

    label: str
    """What it is in the figure above; the figure's own label at the top."""
    given: Input | None
    """The input as the figure above names it; ``None`` at the top."""
    figure: Figure | None
    """The figure, or ``None`` for a value from content or a table."""
    parts: tuple[Step, ...]


def derivation(ledger: Ledger, key: str) -> Step:
    """The whole derivation of a figure, down to content lines and published tables.

    :raises UnknownKeyError: when no figure has the key.
    """
    figure = ledger[key]
    return Step(label=figure.label, given=None, figure=figure, parts=_parts(ledger, figure))


def _parts(ledger: Ledger, figure: Figure) -> tuple[Step, ...]:
    return tuple(_step(ledger, part) for part in figure.inputs)


def _step(ledger: Ledger, part: Input) -> Step:
    below = ledger.figures.get(part.figure) if part.figure else None
    return Step(label=part.label, given=part, figure=below, parts=_parts(ledger, below) if below else ())
