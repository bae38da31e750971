"""What the site has beside pages: all that is carried, hung up or filled in by hand, and calendars and tables.

Papers are composed once as plain data, with the texts that they print.
"""

from collections.abc import Iterator, Mapping
from dataclasses import field

from builder.base.record import dataclass
from builder.figures.computed import Computed
from builder.pages.blocks import FILE
from builder.pages.calendars import CalendarFile, calendars
from builder.pages.cards.compose import compose_cards
from builder.pages.compositions import Card
from builder.pages.forms import LogSheet, log_sheets
from builder.pages.labels import LabelPages, label_pages
from builder.pages.prose import ProseContext
from builder.pages.tables import TableFile, table_files
from builder.pages.translator import Composition, PaperTexts


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """Cards, log sheets and labels of a draft or of a release."""

    draft: bool
    cards: Composition[Card]
    log_sheets: Composition[LogSheet]
    labels: Composition[LabelPages]

    @property
    def texts(self) -> tuple[PaperTexts, ...]:
        """The texts of every paper in every language it is in."""
        return (*self.cards.texts, *self.labels.texts, *self.log_sheets.texts)


def compose_papers(computed: Computed, prose: ProseContext, *, draft: bool) -> Papers:
    """All of them.

    :param prose: what the prose on cards is resolved against.
    """
    return Papers(
        draft=draft,
        cards=compose_cards(computed.program, computed.ledger, prose, draft=draft),
        log_sheets=log_sheets(computed, draft=draft),
        labels=label_pages(computed, draft=draft),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Outputs:
    """What there is beside pages and cards, as plain data."""

    log_sheets: tuple[LogSheet, ...] = ()
    labels: tuple[LabelPages, ...] = ()
    label_codes: Mapping[str, str] = field(default_factory=dict)
    """Unit id to the code on its label; empty where the site prints no labels."""
    calendars: tuple[CalendarFile, ...] = ()
    tables: tuple[TableFile, ...] = ()

    def prints(self) -> dict[str, tuple[str, ...]]:
        """Path of each PDF to the figures it prints."""
        made = {sheet.path: sheet.figures for sheet in self.log_sheets}
        return made | {pages.path: pages.figures for pages in self.labels}

    def spoken(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """The language of each PDF with the figures it prints."""
        yield from ((sheet.language, sheet.figures) for sheet in self.log_sheets)
        yield from ((pages.language, pages.figures) for pages in self.labels)

    def titles(self) -> dict[str, str]:
        """Reference of each PDF to what a reader calls it."""
        forms = {f"{FILE}{sheet.path}": f"Log sheet: {sheet.title}, {sheet.place}" for sheet in self.log_sheets}
        return forms | {f"{FILE}{pages.path}": f"Labels: {pages.name}" for pages in self.labels}


def compose_outputs(computed: Computed, papers: Papers) -> Outputs:
    """Everything beside pages and cards."""
    labels = papers.labels.papers
    return Outputs(
        log_sheets=papers.log_sheets.papers,
        labels=labels,
        label_codes={label.name: label.code for pages in labels if pages.kind == "units" for label in pages.labels},
        calendars=calendars(computed),
        tables=table_files(computed),
    )
