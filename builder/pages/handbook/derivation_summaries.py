"""What a page shows of a figure in place, when its reader asks: the derivation in short, as plain data."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from builder.base.grouping import grouped
from builder.figures.figure import Figure, Input
from builder.figures.ledger import Ledger
from builder.pages.handbook.derivation_words import exact_text
from builder.pages.handbook.derivations import Uses
from builder.pages.handbook.figure_told import formula_record
from builder.pages.handbook.sections import group_of


class Decided(NamedTuple):
    """All that decides the derivation of one figure."""

    key: str
    figure: str
    """A hash of all that it is."""
    used_by: tuple[str, ...]
    """Keys of the figures made from it."""
    printed_on: tuple[tuple[str, str], ...]
    """(reference, title) of the pages and cards that print it."""


def decided(ledger: Ledger, uses: Uses) -> Mapping[str, tuple[Decided, ...]]:
    """What decides every figure's derivation, by the group of its key."""
    groups = sorted(grouped(ledger.figures, group_of).items())
    return {
        name: tuple(Decided(key, ledger.told[key], uses.made.get(key, ()), uses.printed(key)) for key in keys)
        for name, keys in groups
    }


def derivation(figure: Figure) -> dict[str, Any]:
    """How a figure was made; ``from`` has label, value, key of the figure, line or table, whether it was read."""
    record = formula_record(figure.formula)
    return {
        "label": figure.label,
        "printed": figure.printed,
        "exact": exact_text(figure),
        "rounding": figure.rounding.words if figure.rounding else "printed as it is",
        "formula": f"{record.title}: {record.expression}" if record else "",
        "id": figure.formula,
        "source": figure.source,
        "note": figure.note,
        "unread": int(not figure.read),
        "from": [
            (part.label, f"{part.seen}{part.rounded}", part.figure, _found(part), int(part.read))
            for part in figure.inputs
        ],
    }


def _found(part: Input) -> str:
    return "; ".join(text for text in (str(part.where) if part.where else "", part.source) if text)
