"""What the scripts of the site ask for: things to look up, and derivations to show in place."""

from collections.abc import Iterable, Mapping

from builder.base.record import dataclass
from builder.figures.ledger import Ledger
from builder.pages.compositions import Page
from builder.pages.handbook.compose import uses_of
from builder.pages.handbook.derivation_summaries import Decided, decided
from builder.pages.handbook.entries import LookupEntry, entries_of
from builder.pages.handbook.figure_pages import FigurePages
from builder.pages.handbook.figure_words import FigureWords, figure_words
from builder.program.program import Program


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
