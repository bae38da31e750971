"""What a page shows of a figure in place, when its reader asks: the derivation in short, as plain data."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from builder.base.grouping import grouped
from builder.figures.figure import Figure, Input
from builder.figures.ledger import Ledger
from builder.pages.handbook.derivation_words import exact_text
from builder.pages.handbook.derivations import Uses
from builder.pages.handbook.figure_told import formula_record
from builder.pages.handbook.sections import group_of


class IngredientRow(NamedTuple):
    """One thing a figure was made from."""

    label: str
    value: str
    key: str
    """Key of the figure it is, or empty."""
    found: str
    """The line or the table it stands in, or empty."""
    read: bool


class Derivation(NamedTuple):
    """How one figure was made and where it goes, in words."""

    key: str
    label: str
    printed: str
    exact: str
    rounding: str
    formula: str
    """Title and expression of the formula."""
    formula_id: str
    source: str
    note: str
    read: bool
    made_from: tuple[IngredientRow, ...]
    used_by: tuple[str, ...]
    """Keys of the figures made from it."""
    printed_on: tuple[tuple[str, str], ...]
    """(reference, title) of the pages and cards that print it."""


class Derivations(Mapping[str, tuple[Derivation, ...]]):
    """Every figure's derivation, by the group of its key; made when it is asked for and not held."""

    def __init__(self, ledger: Ledger, uses: Uses) -> None:
        self._groups = dict(sorted(grouped(ledger, lambda figure: group_of(figure.key)).items()))
        self._uses = uses

    def __getitem__(self, name: str) -> tuple[Derivation, ...]:
        return tuple(_derivation(figure, self._uses) for figure in self._groups[name])

    def __iter__(self) -> Iterator[str]:
        return iter(self._groups)

    def __len__(self) -> int:
        return len(self._groups)

    def __repr__(self) -> str:
        """All of it, as of plain data: by this two editions are held against each other."""
        return repr(dict(self))


def _derivation(figure: Figure, uses: Uses) -> Derivation:
    record = formula_record(figure.formula)
    return Derivation(
        key=figure.key,
        label=figure.label,
        printed=figure.printed,
        exact=exact_text(figure),
        rounding=figure.rounding.words if figure.rounding else "printed as it is",
        formula=f"{record.title}: {record.expression}" if record else "",
        formula_id=figure.formula,
        source=figure.source,
        note=figure.note,
        read=figure.read,
        made_from=tuple(_made(figure.inputs)),
        used_by=tuple(uses.made.get(figure.key, ())),
        printed_on=tuple((on, uses.titles.get(on, on)) for on in uses.printed_on.get(figure.key, ())),
    )


def _made(inputs: tuple[Input, ...]) -> Iterator[IngredientRow]:
    for part in inputs:
        found = "; ".join(text for text in (str(part.where) if part.where else "", part.source) if text)
        yield IngredientRow(label=part.label, value=part.seen, key=part.figure, found=found, read=part.read)
