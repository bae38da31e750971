"""What the site has beside pages and cards: log sheets, labels, calendars and tables."""

from collections.abc import Iterator, Mapping
from dataclasses import field

from builder.base.record import dataclass
from builder.figures.computed import Computed
from builder.pages.blocks import FILE
from builder.pages.calendars import CalendarFile, calendars
from builder.pages.forms import LogSheet
from builder.pages.labels import LabelPages
from builder.pages.papers import Papers
from builder.pages.tables import TableFile, table_files


@dataclass(frozen=True, slots=True, kw_only=True)
class Outputs:
    """All of it as plain data."""

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
