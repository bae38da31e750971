"""Pocket cards as PDF: each card its own document, so its bytes depend on nothing but the card."""

from __future__ import annotations

import gc
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from typing import TypeVar

from builder.base.errors import FitError, RenderError
from builder.figures.figure import Figure
from builder.pages.blocks import Card, figures_in
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, card_label, card_title, page_css, side_css
from builder.render.fit import fit_faults
from builder.render.formats import card_format
from builder.render.pdf import PdfEngine, preload
from builder.render.templates import templates_folder

CHUNK = 25
"""Cards a worker takes at a time: memory grows with every laid-out page until it is given back."""

T = TypeVar("T")
R = TypeVar("R")


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedCard:
    """The PDF of a card."""

    id: str
    language: str
    pdf: bytes
    pages: int
    """One a side."""
    figures: tuple[str, ...]
    """Keys of the figures it prints, in reading order, each once."""


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
    card, label = job.card, card_label(job.card)
    form = card_format(card.format)
    css = (card_css(), page_css(form.width, form.height), side_css(form))
    try:
        document = engine.document(card_html(card, job.figures), css)
        faults = fit_faults(sides_of(document), [(label, side.name) for side in card.sides], len(document.pages))
        pdf = b"" if faults else engine.write(document, card_title(card), card.language)
    except RenderError as error:
        raise RenderError(f"card {label}: {str(error).removeprefix(f'card {label}: ')}") from error
    if faults:
        raise FitError(faults)
    return RenderedCard(
        id=card.id,
        language=card.language,
        pdf=pdf,
        pages=len(document.pages),
        figures=tuple(dict.fromkeys(figures_in(card))),
    )
