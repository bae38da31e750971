"""Pocket cards as PDF: each card its own document, so its bytes depend on nothing but the card."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context
from typing import TYPE_CHECKING, TypeVar

from builder.base.errors import FitError, RenderError
from builder.figures.figure import Figure
from builder.pages.blocks import Card, Ease, figures_in
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
    type_sizes,
)
from builder.render.easing import eased
from builder.render.fit import fit_faults, fit_notes
from builder.render.formats import card_format
from builder.render.laid_out import Side
from builder.render.pdf import PdfEngine, preload
from builder.render.templates import templates_folder

if TYPE_CHECKING:
    from weasyprint import Document

SLACK_TENTH = 0.001
CHUNK = 8
"""Cards a worker takes at a time: memory grows with every laid-out page until it is given back."""

T = TypeVar("T")
R = TypeVar("R")


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
    figures: tuple[str, ...]
    """Keys of the figures it prints, in reading order, each once."""
    type_pt: float = 0
    """Points of its running text where it was set smaller to fit, else 0."""
    eases: tuple[Ease, ...] = ()
    """Of each side, in the card's order, how much larger and looser it was set than its format has it."""
    notes: tuple[str, ...] = ()
    """What its author is told, though it is good."""


def as_fitted(cards: Sequence[Card], rendered: Sequence[RenderedCard]) -> list[Card]:
    """The cards with the sizes of type they were printed in, so that sheets print them alike."""
    return [_as_made(card, made) for card, made in zip(cards, rendered, strict=True)]


def _as_made(card: Card, made: RenderedCard) -> Card:
    sides = tuple(replace(side, ease=ease) for side, ease in zip(card.sides, made.eases, strict=True))
    return replace(card, type_pt=made.type_pt, sides=sides)


@dataclass(frozen=True, slots=True)
class _Job:
    """A card with the figures it needs and no others, since it travels to another process."""

    card: Card
    figures: dict[str, Figure]


@dataclass(frozen=True, slots=True)
class _Done:
    """What came of some cards: those that are good, and the faults of the others."""

    cards: tuple[RenderedCard, ...]
    faults: tuple[str, ...]


def render_cards(cards: Sequence[Card], figures: Mapping[str, Figure], jobs: int = 1) -> list[RenderedCard]:
    """One PDF a card, in the order given; ``jobs`` processes share the work and do not change a byte.

    :raises FitError: with the faults of all cards, when any does not fit or is not legible.
    :raises RenderError: when the engine cannot set a card faithfully.
    """
    refuse_twins(cards)
    size = max(1, min(CHUNK, -(-len(cards) // max(jobs, 1))))
    parts = [
        [_Job(card, needed_figures(card, figures)) for card in cards[start : start + size]]
        for start in range(0, len(cards), size)
    ]
    done = spread(_render_part, parts, jobs)
    faults = [fault for part in done for fault in part.faults]
    if faults:
        raise FitError(faults)
    return [card for part in done for card in part.cards]


def needed_figures(card: Card, figures: Mapping[str, Figure]) -> dict[str, Figure]:
    """The figures a card prints; unknown keys are left for the template to report."""
    return {key: figures[key] for key in figures_in(card) if key in figures}


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


def spread(work: Callable[[T], R], parts: Sequence[T], jobs: int) -> list[R]:
    """``work`` of every part, in order: in this process, or in forked ones that share what is loaded here."""
    if jobs <= 1 or len(parts) <= 1:
        return [work(part) for part in parts]
    preload()
    with ProcessPoolExecutor(max_workers=min(jobs, len(parts)), mp_context=get_context("fork")) as pool:
        return list(pool.map(work, parts))


def _render_part(part: Sequence[_Job]) -> _Done:
    """Render some cards; garbage is collected once at the end, which is a fifth faster."""
    cards: list[RenderedCard] = []
    faults: list[str] = []
    collecting = gc.isenabled()
    gc.disable()
    try:
        with PdfEngine((templates_folder(),)) as engine:
            for job in part:
                try:
                    cards.append(_render(engine, job))
                except FitError as error:
                    faults.extend(error.faults)
    finally:
        if collecting:
            gc.enable()
        gc.collect()
    return _Done(tuple(cards), tuple(faults))


def _render(engine: PdfEngine, job: _Job) -> RenderedCard:
    card = job.card
    try:
        card, document = _fitted(engine, job)
        pdf = engine.write(document, card_title(card), card.language, second_family([card]))
    except FitError:
        raise
    except RenderError as error:
        label = card_label(card)
        raise RenderError(f"card {label}: {str(error).removeprefix(f'card {label}: ')}") from error
    return RenderedCard(
        id=card.id,
        path=card.path,
        language=card.language,
        pdf=pdf,
        pages=len(document.pages),
        figures=tuple(dict.fromkeys(figures_in(card))),
        type_pt=card.type_pt,
        eases=tuple(side.ease for side in card.sides),
        notes=(*_shrunk(card), *fit_notes(sides_of(document))),
    )


def _fitted(engine: PdfEngine, job: _Job) -> tuple[Card, Document]:
    """The card as it fits and its layout: type stepped down where its author allows that, or up where there is room.

    :raises FitError: with the faults at the size of the format, when none of the sizes fits.
    """
    first: list[str] = []
    for points in _steps(job.card):
        card = replace(job.card, type_pt=points)
        document = _laid(engine, card, job.figures)
        faults = _faults(card, document)
        if not faults:
            return _eased(engine, card, document, job.figures)
        first = first or faults
    if job.card.smallest:
        first.append(f"card {card_label(job.card)}: smaller type down to {job.card.smallest:g} pt did not help")
    raise FitError(first)


def _laid(engine: PdfEngine, card: Card, figures: Mapping[str, Figure]) -> Document:
    form = card_format(card.format)
    css = (card_css(), *language_css([card]), page_css(form.width, form.height), side_css(form))
    return engine.document(card_html(card, figures), css)


def _faults(card: Card, document: Document) -> list[str]:
    faults = fit_faults(sides_of(document), [(card_label(card), side.name) for side in card.sides], 0)
    if len(document.pages) != len(leaves(card)):
        faults.append(f"card {card_label(card)}: {len(document.pages)} pages for {len(leaves(card))} printed sides")
    return faults


def _eased(engine: PdfEngine, card: Card, document: Document, figures: Mapping[str, Figure]) -> tuple[Card, Document]:
    """A good card set larger and looser where it has room; as it was, should that do harm."""
    tried = [(card, document)]

    def lay(trial: Card) -> tuple[Side, ...]:
        tried.append((trial, _laid(engine, trial, figures)))
        return sides_of(tried[-1][1])

    made = eased(card, type_sizes(card).text, sides_of(document), lay)
    last, found = tried[-1]
    if made != last:
        found = _laid(engine, made, figures)
    return (card, document) if _faults(made, found) else (made, found)


def _steps(card: Card) -> Iterator[float]:
    """Sizes of running text to try: the card's own, then smaller ones by a tenth of a point down to the floor."""
    yield card.type_pt
    usual = card.type_pt or card_format(card.format).types.text
    tenths = round(usual * 10) - 1
    while card.smallest and tenths >= card.smallest * 10 - SLACK_TENTH:
        yield tenths / 10
        tenths -= 1


def _shrunk(card: Card) -> Iterator[str]:
    usual = card_format(card.format).types.text
    if card.type_pt:
        yield f"card {card_label(card)}: type set down from {usual:g} pt to {card.type_pt:g} pt so that it fits"
