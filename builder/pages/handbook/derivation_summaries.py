"""What a page shows of a figure in place, when its reader asks: the derivation in short, as plain data."""

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from builder.base.grouping import grouped
from builder.figures.figure import Input
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


class Derivations(Mapping[str, tuple[Decided, ...]]):
    """What decides every figure's derivation, by the group of its key; told when it is asked for and not held."""

    def __init__(self, ledger: Ledger, uses: Uses) -> None:
        self._ledger = ledger
        self._groups = dict(sorted(grouped(ledger.figures, group_of).items()))
        self._uses = uses

    def __getitem__(self, name: str) -> tuple[Decided, ...]:
        uses = self._uses
        return tuple(
            Decided(key, self._ledger.told[key], uses.made.get(key, ()), uses.printed(key))
            for key in self._groups[name]
        )

    def __iter__(self) -> Iterator[str]:
        return iter(self._groups)

    def __len__(self) -> int:
        return len(self._groups)

    def __repr__(self) -> str:
        """All of it, as of plain data: by this two editions are held against each other."""
        return repr(dict(self))

    def made(self, key: str) -> dict[str, Any]:
        """How a figure was made; ``from`` has label, value, key of the figure, line or table, whether it was read."""
        figure = self._ledger.figures[key]
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
            "from": [(part.label, part.seen, part.figure, _found(part), int(part.read)) for part in figure.inputs],
        }


def _found(part: Input) -> str:
    return "; ".join(text for text in (str(part.where) if part.where else "", part.source) if text)
