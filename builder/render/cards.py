"""Pocket cards as PDF: each card its own document, so its bytes depend on nothing but the card."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from builder.base.errors import FitError, RenderError
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.compositions import Card, figures_in
from builder.render.boxes import sides_of
from builder.render.card_pages import (
    card_css,
    card_html,
    card_label,
    card_title,
    language_css,
    leaves,
    page_css,
    second_family,
    side_css,
)
from builder.render.documents import figures_as_printed
from builder.render.fit import Legible, fit_faults, fit_notes, from_metres
from builder.render.formats import card_format, type_steps
from builder.render.jobs import Job, job
from builder.render.laid_out import Side
from builder.render.pdf import PdfEngine

if TYPE_CHECKING:
    from weasyprint import Document

MS_A_SIDE = 110.0
"""Estimate of the time that a side takes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedCard:
    """The PDF of a card."""

    id: str
    path: str
    """Its file in the site."""
    language: str
    pdf: bytes
    pages: int
    """One a printed side; a folded card has its panels on two."""
    type_pt: float
    """Points of its running text."""
    notes: tuple[str, ...] = ()
    """What its author is told, though it is good."""


CardOrFaults: TypeAlias = RenderedCard | tuple[str, ...]


def card_job(card: Card, figures: Mapping[str, Figure]) -> Job[CardOrFaults]:
    """A card as a job, the search for its size of type included."""
    return job("cards", MS_A_SIDE * len(card.sides), _rendered, card, figures_as_printed(figures, figures_in(card)))


def good_cards(made: Sequence[CardOrFaults]) -> list[RenderedCard]:
    """The cards among what came of jobs.

    :raises FitError: with the faults of all that are not good.
    """
    faults = [fault for one in made if not isinstance(one, RenderedCard) for fault in one]
    if faults:
        raise FitError(faults)
    return [one for one in made if isinstance(one, RenderedCard)]


def refuse_twins(cards: Sequence[Card]) -> None:
    """Refuse two cards of one id, or one card with two sides of one name or none at all.

    :raises RenderError: when there are any.
    """
    ids = [card_label(card) for card in cards]
    twins = sorted({one for one in ids if ids.count(one) > 1})
    if twins:
        raise RenderError(f"two cards have the id and language {', '.join(twins)}")
    for card in cards:
        names = [side.name for side in card.sides]
        if not names or len(set(names)) != len(names):
            raise RenderError(f"card {card.id}: sides {names}; needed: at least one, each name once")


def _rendered(engine: PdfEngine, card: Card, figures: Mapping[str, Figure]) -> CardOrFaults:
    found = fitted(engine, card, figures)
    if found.faults:
        return found.faults
    return RenderedCard(
        id=card.id,
        path=card.path,
        language=card.language,
        pdf=written(engine, found),
        pages=len(found.document.pages),
        type_pt=found.card.type_pt,
        notes=(*_set_down(found.card), *fit_notes(found.sides)),
    )


@contextmanager
def _named(card: Card) -> Iterator[None]:
    """Put the card's name before what the engine complains of."""
    try:
        yield
    except RenderError as error:
        raise RenderError(f"card {card_label(card)}: {error}") from error


def fitted(engine: PdfEngine, card: Card, figures: Mapping[str, Figure]) -> Trial:
    """The card in the largest type that it fits in, or in the smallest that it may be set in, with its faults there."""
    steps = type_steps(card_format(card.format), card.smallest)
    found = largest_that_fits(_trial(engine, replace(card, type_pt=sizes.text), figures) for sizes in steps)
    if not (found.faults and card.smallest):
        return found
    least = f"card {card_label(card)}: smaller type down to {steps[-1].text:g} pt did not help"
    return found._replace(faults=(*found.faults, least))


def written(engine: PdfEngine, laid: Trial) -> bytes:
    """The PDF of a laid-out card."""
    with _named(laid.card):
        return engine.write(laid.document, card_title(laid.card), laid.card.language, second_family(laid.card))


class Trial(NamedTuple):
    """A card laid out in one type, and what is wrong with it there."""

    card: Card
    document: Document
    sides: tuple[Side, ...]
    """Measured."""
    faults: tuple[str, ...]


def largest_that_fits(trials: Iterable[Trial]) -> Trial:
    """The first that is without faults, or else the last; sizes are so few that no search is shorter."""
    for found in trials:
        if not found.faults:
            break
    return found


def _trial(engine: PdfEngine, card: Card, figures: Mapping[str, Figure]) -> Trial:
    document = _laid(engine, card, figures)
    sides = sides_of(document)
    return Trial(card, document, sides, tuple(_faults(card, document, sides)) if engine.lays_out else ())


def _laid(engine: PdfEngine, card: Card, figures: Mapping[str, Figure]) -> Document:
    form = card_format(card.format)
    css = (card_css(), *language_css(card), page_css(form.width, form.height), side_css(form))
    html = card_html(card, figures)
    with _named(card):
        return engine.document(html, css)


def _faults(card: Card, document: Document, sides: Sequence[Side]) -> list[str]:
    faults = fit_faults(sides, [(card_label(card), side.name) for side in card.sides], legible(card))
    if len(document.pages) != len(leaves(card)):
        faults.append(f"card {card_label(card)}: {len(document.pages)} pages for {len(leaves(card))} printed sides")
    return faults


def legible(card: Card) -> Legible:
    """What its type must be: a sign is read from where one stands, any other card in the hand."""
    return from_metres(card_format(card.format).read_from)


def _set_down(card: Card) -> Iterator[str]:
    least = card_format(card.format).least_unasked
    if card.type_pt < least:
        yield f"card {card_label(card)}: type set down from {least:g} pt to {card.type_pt:g} pt so that it fits"
