"""Papers of one kind as PDF, in the order given, without a site around them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from builder.figures.figure import Figure
from builder.pages.compositions import Card, Page, figures_in
from builder.pages.forms import LogSheet
from builder.pages.labels import LabelPages
from builder.render.cards import RenderedCard, card_job, good_cards, refuse_twins
from builder.render.documents import refuse_faults
from builder.render.forms import form_job
from builder.render.imposition import USUAL, SheetLayout
from builder.render.jobs import Workshop
from builder.render.label_room import fitted_labels
from builder.render.labels import label_job
from builder.render.sheets import by_format, sheet_job
from builder.render.site import rendered_pages
from tests.shared import workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedForm:
    """The PDF of a log sheet."""

    path: str
    pdf: bytes
    pages: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedLabels:
    """The PDF of all labels on one kind of sheet."""

    path: str
    pdf: bytes
    pages: int
    notes: tuple[str, ...] = ()
    """What the author is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedSheets:
    """The sheets of all cards of one format."""

    format: str
    paper: str
    pdf: bytes
    pages: int
    cards: tuple[str, ...]
    figures: tuple[str, ...]
    """Keys of the figures printed, each once."""


def render_cards(cards: Sequence[Card], figures: Mapping[str, Figure], jobs: int = 1) -> list[RenderedCard]:
    """One PDF a card, in the order given; ``jobs`` processes share the work and do not change a byte.

    :raises FitError: with the faults of all cards, when any does not fit or is not legible.
    :raises RenderError: when the engine cannot set a card faithfully.
    """
    refuse_twins(cards)
    with Workshop(jobs) as shop:
        return good_cards(shop.run([card_job(card, figures) for card in cards]))


def kept_cards(cards: Sequence[Card], figures: Mapping[str, Figure]) -> list[RenderedCard]:
    """The same as ``render_cards``, as the build of this run made them: what is looked at is what is published."""
    refuse_twins(cards)
    with workshop(1) as shop:
        return good_cards(shop.run([card_job(card, figures) for card in cards]))


def render_forms(sheets: Sequence[LogSheet], figures: Mapping[str, Figure], jobs: int = 1) -> list[RenderedForm]:
    """One PDF a log sheet; ``jobs`` processes share the work and do not change a byte.

    :raises FitError: when a text does not fit its column, with the sheet and the millimetres.
    :raises RenderError: when the engine cannot set a sheet faithfully.
    """
    with Workshop(jobs) as shop:
        made = shop.run([form_job(sheet, figures) for sheet in sheets])
    refuse_faults(made)
    return [
        RenderedForm(path=sheet.path, pdf=one.pdf, pages=one.pages) for sheet, one in zip(sheets, made, strict=True)
    ]


def render_labels(sheets: Sequence[LabelPages], figures: Mapping[str, Figure], jobs: int = 1) -> list[RenderedLabels]:
    """One PDF a kind of sheet.

    :raises FitError: with the unit and the millimetres of every text that does not fit its label.
    :raises RenderError: when the engine cannot set a sheet faithfully.
    """
    with Workshop(jobs) as shop:
        made = shop.run([label_job(fitted_labels(pages, figures), figures) for pages in sheets])
    refuse_faults(made)  # a fault of one label is that of all its copies
    return [
        RenderedLabels(path=one.path, pdf=done.pdf, pages=done.pages, notes=done.notes)
        for one, done in zip(sheets, made, strict=True)
    ]


def render_sheets(
    cards: Sequence[Card], figures: Mapping[str, Figure], paper_name: str, jobs: int = 1, setting: SheetLayout = USUAL
) -> list[RenderedSheets]:
    """One PDF a card format; ``setting`` says how its cards lie apart, how it is turned, and how often each is there.

    :raises FitError: with the faults of all cards, when any does not fit or is not legible.
    :raises RenderError: when the engine cannot set a sheet faithfully.
    """
    refuse_twins(cards)
    groups = by_format(cards)
    printed = {card.path: card for card in render_cards(cards, figures, jobs)}
    with Workshop(jobs) as shop:
        made = shop.run(
            [sheet_job(group, [printed[card.path] for card in group], paper_name, setting) for group in groups.values()]
        )
    refuse_faults(made)
    return [
        RenderedSheets(
            format=name,
            paper=paper_name,
            pdf=one.pdf,
            pages=one.pages,
            cards=tuple(card.id for card in group),
            figures=tuple(dict.fromkeys(figures_in(group))),
        )
        for (name, group), one in zip(groups.items(), made, strict=True)
    ]


def html_pages(
    pages: Sequence[Page],
    figures: Mapping[str, Figure],
    hrefs: Mapping[str, str],
    facts: Mapping[str, Any],
    shop: Workshop | None = None,
) -> dict[str, bytes]:
    """Site path -> bytes of the document of each page."""
    return {page.path: made.data() for page, made in rendered_pages(pages, figures, hrefs, facts, shop or Workshop())}
