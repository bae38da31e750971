"""What the scripts of the site ask for: things to look up, and derivations to show in place."""

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.figures.figure import Figure, Input
from builder.figures.ledger import Ledger
from builder.pages.compositions import Page
from builder.pages.handbook.compose import uses_of
from builder.pages.handbook.derivation_words import exact_text, formula_record
from builder.pages.handbook.derivations import Uses
from builder.pages.handbook.entries import LookupEntry, entries_of
from builder.pages.handbook.figure_pages import FigurePages
from builder.pages.handbook.figure_words import FigureWords, figure_words
from builder.pages.handbook.sections import group_of
from builder.program.program import Program


class Decided(NamedTuple):
    """All that decides the derivation of one figure."""

    key: str
    figure: str
    """A hash of all that it is."""
    used_by: tuple[str, ...]
    """Keys of the figures made from it."""
    printed_on: tuple[tuple[str, str], ...]
    """(reference, title) of the pages and cards that print it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReaderData:
    """The data beside the pages."""

    entries: tuple[LookupEntry, ...]
    figures: FigureWords
    """Every figure by its key and the words of its label."""
    told_on: FigurePages
    """Which page tells the whole derivation of a figure."""
    derivations: Mapping[str, tuple[Decided, ...]]
    """What decides them, by the group of keys that one file of data holds."""


def reader_data(
    program: Program,
    ledger: Ledger,
    told_on: FigurePages,
    pages: Iterable[Page],
    names: Mapping[str, str],
    codes: Mapping[str, str],
    elsewhere: Mapping[str, tuple[str, ...]],
) -> ReaderData:
    """Gather it from the finished pages.

    :param told_on: which page tells the derivation of a figure.
    :param names: title of everything that has a page or an anchor of its own, by reference.
    :param codes: card id to the code printed on it.
    :param elsewhere: figure key to references of what prints it beside the pages.
    """
    pages = tuple(pages)
    return ReaderData(
        entries=entries_of(program, names, codes, pages),
        figures=figure_words(ledger, names),
        told_on=told_on,
        derivations=decided(ledger, uses_of(ledger, names, pages, elsewhere)),
    )


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
