"""Cards imposed on sheets as PDF, each sheet of fronts followed by the sheet of its backs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from builder.base.errors import FitError
from builder.figures.figure import Figure
from builder.pages.blocks import Card, figures_in
from builder.program.languages import ENGLISH, is_right_to_left
from builder.render.boxes import sides_of
from builder.render.card_pages import (
    CardWords,
    Leaf,
    card_css,
    card_label,
    language_css,
    leaves,
    page_css,
    second_family,
    side_css,
    side_html,
    words_for,
)
from builder.render.cards import needed_figures, refuse_twins, spread
from builder.render.fit import fit_faults
from builder.render.formats import SheetPlace, card_format, paper
from builder.render.imposition import USUAL, Marks, Note, Sheet, SheetLayout, crop_marks, fold_marks, numbered, plan
from builder.render.pdf import PdfEngine
from builder.render.templates import fill, templates_folder

if TYPE_CHECKING:
    from markupsafe import Markup

LABEL_DOWN = 1.4
"""From a card, or its bleed, to the line that names it."""


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


@dataclass(frozen=True, slots=True)
class _Job:
    format: str
    paper: str
    cards: tuple[Card, ...]
    figures: dict[str, Figure]
    setting: SheetLayout


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """One card on one sheet, as the template places it."""

    sides: tuple[Markup, ...]
    left: float
    width: float
    label_top: float
    label: str
    folded: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _SheetPage:
    marks: Marks
    turned: bool
    """Whether the whole side is given a half turn."""
    cells: tuple[_Cell, ...]


def render_sheets(
    cards: Sequence[Card], figures: Mapping[str, Figure], paper_name: str, jobs: int = 1, setting: SheetLayout = USUAL
) -> list[RenderedSheets]:
    """One PDF a card format; ``setting`` says how its cards lie apart, how it is turned, and how often each is there.

    :raises FitError: with the faults of all cards, when any does not fit or is not legible.
    :raises RenderError: when the engine cannot set a sheet faithfully.
    """
    refuse_twins(cards)
    groups: dict[str, list[Card]] = {}
    for card in cards:
        groups.setdefault(card_format(card.format).name, []).append(card)
    work = [_Job(name, paper_name, tuple(group), _needed(group, figures), setting) for name, group in groups.items()]
    done = spread(_render_format, work, jobs)
    faults = [fault for result in done if not isinstance(result, RenderedSheets) for fault in result]
    if faults:
        raise FitError(faults)
    return [result for result in done if isinstance(result, RenderedSheets)]


def _needed(cards: Sequence[Card], figures: Mapping[str, Figure]) -> dict[str, Figure]:
    return {key: figure for card in cards for key, figure in needed_figures(card, figures).items()}


def _render_format(job: _Job) -> RenderedSheets | tuple[str, ...]:
    form = card_format(job.format)
    sheet = plan(form, paper(job.paper), job.setting)
    css = (
        card_css(),
        *language_css(job.cards),
        page_css(sheet.width, sheet.height),
        side_css(form),
        _sheet_css(sheet, job.setting),
    )
    title = f"{form.name} × {job.paper}"
    cards = tuple(card for card in job.cards for _ in range(job.setting.copies))
    with PdfEngine((templates_folder(),)) as engine:
        document = engine.document(sheets_html(cards, job.figures, sheet, title, job.setting), css)
        expected = [(card_label(card), side.name) for card in cards for side in card.sides]
        faults = fit_faults(sides_of(document), expected, 0)
        if faults:
            return tuple(faults)
        pdf = engine.write(document, title, sheet_language(job.cards), second_family(job.cards))
        pages = len(document.pages)
    return RenderedSheets(
        format=form.name,
        paper=job.paper,
        pdf=pdf,
        pages=pages,
        cards=tuple(card.id for card in job.cards),
        figures=tuple(dict.fromkeys(key for card in job.cards for key in figures_in(card))),
    )


def _sheet_css(sheet: Sheet, setting: SheetLayout) -> str:
    size = f"width: {sheet.width}mm; height: {sheet.height}mm"
    bleed = " ".join(f"{edge}: {-setting.bleed:g}mm;" for edge in ("left", "right", "top", "bottom"))
    return f".sheet, .sheet > svg {{ {size} }} .side:not(.panel) .decor {{ {bleed} }}"


def sheet_language(cards: Sequence[Card]) -> str:
    """The language around the cards of a sheet: that of the first card that is read from left to right."""
    return next((card.language for card in cards if not is_right_to_left(card.language)), ENGLISH)


def sheets_html(
    cards: Sequence[Card], figures: Mapping[str, Figure], sheet: Sheet, title: str, setting: SheetLayout = USUAL
) -> str:
    """The document of all sheets: fronts, backs, fronts, backs; no backs when no card has one."""
    deep = max(len(leaves(card)) for card in cards)
    words = words_for(sheet_language(cards))
    notes = (Note(kind="turn", text=_turning(words, sheet) if deep > 1 else words.one_side),)
    dealt = tuple(tuple(card for card, _ in part) for part in sheet.dealt(cards))
    pages: list[_SheetPage] = []
    for at, part in enumerate(dealt):
        count = numbered(words.sheet_of, at + 1, len(dealt))
        start = at * len(sheet.fronts)
        pages += [
            _sheet_page(part, figures, sheet, number, words.gauge, notes + count, setting, start)
            for number in range(1, deep + 1)
        ]
    return fill(
        "cards/sheets.html",
        language=sheet_language(cards),
        title=title,
        pages=pages,
        words=words,
    )


def _turning(words: CardWords, sheet: Sheet) -> str:
    if sheet.short_edge:
        return words.turn_short_top if sheet.over_the_top else words.turn_short_side
    return words.turn_long_top if sheet.over_the_top else words.turn_long_side


def _sheet_page(
    cards: Sequence[Card],
    figures: Mapping[str, Figure],
    sheet: Sheet,
    number: int,
    gauge: str,
    notes: tuple[Note, ...],
    setting: SheetLayout,
    start: int,
) -> _SheetPage:
    """One side of a sheet; ``start`` counts the cards of the sheets before it."""
    back = number > 1
    places = (sheet.drawn_backs if back else sheet.fronts)[: len(cards)]
    cells = [
        _cell(card, leaf, figures, place, setting, f"{start + at}-")
        for at, (card, place) in enumerate(zip(cards, places, strict=True), start=1)
        for leaf in leaves(card)
        if leaf.number == number
    ]
    folds = fold_marks(card_format(cards[0].format), places, setting.mark_off)
    return _SheetPage(
        marks=sheet.marks(crop_marks(places, setting.mark_off) + folds, gauge, *notes),
        turned=back and sheet.over_the_top,
        cells=tuple(cells),
    )


def _cell(
    card: Card, leaf: Leaf, figures: Mapping[str, Figure], place: SheetPlace, setting: SheetLayout, copy: str
) -> _Cell:
    from markupsafe import Markup  # noqa: PLC0415 - comes with jinja2, so loaded at first need

    words = words_for(sheet_language([card]))
    name = words.front if leaf.number == 1 else words.back
    draft = f" · {words.draft}" if card.draft else ""
    sides = (
        side_html(
            card,
            side,
            figures,
            SheetPlace(left=place.left + at.left, top=place.top + at.top, width=at.width, height=at.height),
            copy,
        )
        for side, at in leaf.parts
    )
    return _Cell(
        sides=tuple(Markup(side) for side in sides),  # noqa: S704 - rendered by a template that escapes
        left=place.left,
        width=place.width,
        label_top=place.top + place.height + setting.bleed + LABEL_DOWN,
        label=f"{card_label(card)} · {name} · {card.code}{draft}",
        folded=card_format(card.format).folded,
    )
