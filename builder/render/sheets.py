"""Cards imposed on sheets as PDF, each sheet of fronts followed by the sheet of its backs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from builder.figures.figure import Figure
from builder.pages.blocks import Card, figures_in
from builder.program.languages import ENGLISH, is_right_to_left
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
from builder.render.documents import Document, Judgement, Laid, Made, figures_as_printed, make
from builder.render.fit import fit_faults
from builder.render.formats import SheetPlace, card_format, paper
from builder.render.imposition import (
    USUAL,
    Marks,
    Note,
    Sheet,
    SheetLayout,
    corner_marks,
    crop_marks,
    filled,
    fold_marks,
    plan,
    sheet_numbers,
    upright_bar,
)
from builder.render.jobs import Job, job
from builder.render.pdf import PageBoxes, PdfEngine
from builder.render.templates import fill

if TYPE_CHECKING:
    from markupsafe import Markup

MS_A_SIDE = 110.0
"""Estimate of the time that a side takes."""
TAB_MM = 3.9
"""From the top of a card to the letter on its tab: ``.tab`` in ``cards.css``."""
LABEL_DOWN = 1.4
"""From a card, or its bleed, to the line that names it."""


@dataclass(frozen=True, slots=True)
class SheetRules:
    """Every side is there, whole and legible, as on the cards themselves."""

    sides: tuple[tuple[str, str], ...]
    """(card, side) as often as it is printed."""

    def judge(self, laid: Laid) -> Judgement:
        """What is wrong with laid-out sheets."""
        return Judgement(faults=tuple(fit_faults(laid.sides, self.sides, 0)))


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


def by_format(cards: Sequence[Card]) -> dict[str, tuple[Card, ...]]:
    """Name of a format -> its cards, in the order given; signs are not set out on sheets."""
    groups: dict[str, tuple[Card, ...]] = {}
    for card in cards:
        name = card_format(card.format).name
        if card_format(name).sign:  # it has a sheet of its own
            continue
        groups[name] = (*groups.get(name, ()), card)
    return groups


def sheet_job(
    cards: tuple[Card, ...], figures: Mapping[str, Figure], paper_name: str, setting: SheetLayout
) -> Job[Made]:
    """The sheets of cards of one format as a job."""
    cost = MS_A_SIDE * setting.copies * sum(len(card.sides) for card in cards)
    return job(
        "sheets of cards", cost, _render, cards, figures_as_printed(figures, figures_in(cards)), paper_name, setting
    )


def _render(
    engine: PdfEngine, cards: tuple[Card, ...], figures: Mapping[str, Figure], paper_name: str, setting: SheetLayout
) -> Made:
    return make(engine, sheets_document(cards, figures, paper_name, setting))


def sheets_document(
    cards: tuple[Card, ...], figures: Mapping[str, Figure], paper_name: str, setting: SheetLayout
) -> Document:
    """The sheets of cards of one format, ready to be laid out.

    :raises RenderError: for an unknown figure, paper or language, or a block that cannot be set.
    """
    form = card_format(cards[0].format)
    sheet = plan(form, paper(paper_name), setting)
    title = f"{form.name} × {paper_name}"
    every = tuple(filled([card for card in cards for _ in range(setting.copies)], len(sheet.fronts)))
    return Document(
        name=f"sheets of {form.name} on {paper_name}",
        html=sheets_html(every, figures, sheet, title, setting),
        css=(
            card_css(),
            *language_css(cards),
            page_css(sheet.width, sheet.height),
            side_css(form),
            _sheet_css(sheet, setting),
        ),
        title=title,
        language=sheet_language(cards),
        second=second_family(cards),
        boxes=_boxes(every, sheet, setting),
        rules=SheetRules(tuple((card_label(card), side.name) for card in every for side in card.sides)),
    )


def _boxes(cards: Sequence[Card], sheet: Sheet, setting: SheetLayout) -> tuple[PageBoxes, ...]:
    """The rectangle around all cards of each printed side, trimmed, and its bleed."""
    made: list[PageBoxes] = []
    for part in sheet.dealt(cards):
        for number in range(1, max(len(leaves(card)) for card in cards) + 1):
            places = (sheet.fronts if number == 1 else sheet.backs)[: len(part)]
            made.append(
                PageBoxes(
                    left=min(at.left for at in places),
                    top=min(at.top for at in places),
                    right=max(at.left + at.width for at in places),
                    bottom=max(at.top + at.height for at in places),
                    bleed=setting.bleed,
                )
            )
    return tuple(made)


def _sheet_css(sheet: Sheet, setting: SheetLayout) -> str:
    size = f"width: {sheet.width}mm; height: {sheet.height}mm"
    bleed = " ".join(f"{edge}: {-setting.bleed:g}mm;" for edge in ("left", "right", "top", "bottom"))
    tab = f" .tab {{ top: {-setting.bleed:g}mm; padding-top: {TAB_MM + setting.bleed:g}mm }}" if setting.bleed else ""
    return f".sheet, .sheet > svg {{ {size} }} .side:not(.panel) .decor {{ {bleed} }}{tab}"


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
        count = sheet_numbers(words.sheet_of, at + 1, len(dealt))
        start = at * len(sheet.fronts)
        pages += [
            _sheet_page(part, figures, sheet, number, words.gauge, notes + count, setting, start, words)
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
    words: CardWords,
) -> _SheetPage:
    """One side of a sheet; ``start`` counts the cards of the sheets before it, ``words`` are those of the operator."""
    back = number > 1
    places = (sheet.drawn_backs if back else sheet.fronts)[: len(cards)]
    cells = [
        _cell(card, leaf, figures, place, setting, f"{start + at}-", words)
        for at, (card, place) in enumerate(zip(cards, places, strict=True), start=1)
        for leaf in leaves(card)
        if leaf.number == number
    ]
    form = card_format(cards[0].format)
    folds = fold_marks(form, places, setting.mark_off)
    return _SheetPage(
        marks=sheet.marks(
            crop_marks(places, setting.mark_off) + folds + corner_marks(form, places) + upright_bar(sheet.height),
            gauge,
            *notes,
        ),
        turned=back and sheet.over_the_top,
        cells=tuple(cells),
    )


def _cell(
    card: Card,
    leaf: Leaf,
    figures: Mapping[str, Figure],
    place: SheetPlace,
    setting: SheetLayout,
    copy: str,
    words: CardWords,
) -> _Cell:
    from markupsafe import Markup  # noqa: PLC0415 - comes with jinja2, so loaded at first need

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
