"""Pocket cards as PDF: each card its own document, so its bytes depend on nothing but the card."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, replace
from multiprocessing import get_context
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from builder.base.errors import FitError, RenderError
from builder.figures.figure import Figure
from builder.pages.blocks import Card, figures_in
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
from builder.render.fit import fit_faults, fit_notes
from builder.render.formats import LEAST_UNASKED, card_format, type_steps
from builder.render.pdf import PdfEngine, preload
from builder.render.templates import templates_folder

if TYPE_CHECKING:
    from weasyprint import Document

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
    type_pt: float
    """Points of its running text."""
    notes: tuple[str, ...] = ()
    """What its author is told, though it is good."""


def as_fitted(cards: Sequence[Card], rendered: Sequence[RenderedCard]) -> list[Card]:
    """The cards with the sizes of type they were printed in, so that sheets print them alike."""
    return [replace(card, type_pt=made.type_pt) for card, made in zip(cards, rendered, strict=True)]


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
    card, document = _fitted(engine, job)
    with _named(card):
        pdf = engine.write(document, card_title(card), card.language, second_family([card]))
    return RenderedCard(
        id=card.id,
        path=card.path,
        language=card.language,
        pdf=pdf,
        pages=len(document.pages),
        figures=tuple(dict.fromkeys(figures_in(card))),
        type_pt=card.type_pt,
        notes=(*_set_down(card), *fit_notes(sides_of(document))),
    )


@contextmanager
def _named(card: Card) -> Iterator[None]:
    """Put the card's name before what the engine complains of."""
    try:
        yield
    except RenderError as error:
        raise RenderError(f"card {card_label(card)}: {error}") from error


def _fitted(engine: PdfEngine, job: _Job) -> tuple[Card, Document]:
    """The card in the largest type that it fits in, and its layout.

    :raises FitError: with the faults in the smallest type that it may be set in.
    """
    steps = type_steps(card_format(job.card.format), job.card.smallest)

    def lay(at: int) -> Trial:
        card = replace(job.card, type_pt=steps[at].text)
        document = _laid(engine, card, job.figures)
        return Trial(card, document, tuple(_faults(card, document)))

    found = largest_that_fits(len(steps), lay)
    if found.faults:
        least = f"card {card_label(job.card)}: smaller type down to {steps[-1].text:g} pt did not help"
        raise FitError([*found.faults, *([least] if job.card.smallest else [])])
    return found.card, found.document


class Trial(NamedTuple):
    """A card laid out in one type."""

    card: Card
    document: Document
    faults: tuple[str, ...]


def largest_that_fits(count: int, lay: Callable[[int], Trial]) -> Trial:
    """The first of ``count`` sizes, the largest first, that is without faults, or else the last: by bisection.

    Most cards fit in the largest, and one that does not fit in the smallest needs no others.
    """
    found = lay(0)
    if not found.faults or count == 1:
        return found
    found, fails, fits = lay(count - 1), 0, count - 1
    while not found.faults and fits - fails > 1:
        middle = (fails + fits) // 2
        trial = lay(middle)
        if trial.faults:
            fails = middle
        else:
            found, fits = trial, middle
    return found


def _laid(engine: PdfEngine, card: Card, figures: Mapping[str, Figure]) -> Document:
    form = card_format(card.format)
    css = (card_css(), *language_css([card]), page_css(form.width, form.height), side_css(form))
    html = card_html(card, figures)
    with _named(card):
        return engine.document(html, css)


def _faults(card: Card, document: Document) -> list[str]:
    faults = fit_faults(sides_of(document), [(card_label(card), side.name) for side in card.sides], 0)
    if len(document.pages) != len(leaves(card)):
        faults.append(f"card {card_label(card)}: {len(document.pages)} pages for {len(leaves(card))} printed sides")
    return faults


def _set_down(card: Card) -> Iterator[str]:
    if card.type_pt < LEAST_UNASKED:
        yield f"card {card_label(card)}: type set down from {LEAST_UNASKED:g} pt to {card.type_pt:g} pt so that it fits"
