"""Cards imposed on sheets: where each lies, where its back must lie, and the marks to cut and measure by.

A sheet is turned over its long edge. Upright sheets therefore mirror left and right, lying ones top and bottom.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from builder.base.errors import FitError, RenderError
from builder.figures.figure import Figure
from builder.pages.blocks import Card, CardSide, figures_in
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_label, page_css, side_css, side_html, words_for
from builder.render.cards import needed_figures, refuse_twins, spread
from builder.render.fit import fit_faults
from builder.render.formats import CardFormat, Paper, Place, card_format, paper
from builder.render.pdf import PdfEngine
from builder.render.templates import fill, templates_folder

if TYPE_CHECKING:
    from markupsafe import Markup

EDGE = 10.0
"""Left and right of all cards at least this much stays free; printers cannot reach the paper's edge."""
HEAD, TAIL = 16.0, 12.0
"""Free above and below: the head has the bar and the turning note."""
GAP_X, GAP_Y = 8.0, 10.0
"""Between cards, for marks and labels."""
MARK_OFF, MARK_LONG = 1.0, 2.5
"""Crop marks start this far outside the card and are this long."""
GAUGE_MM, GAUGE_TOP = 50.0, 9.0
LABEL_DOWN = 1.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The plan of one sheet."""

    width: float
    height: float
    fronts: tuple[Place, ...]

    @property
    def lying(self) -> bool:
        """Whether the sheet's long edge is at the top."""
        return self.width > self.height

    @property
    def backs(self) -> tuple[Place, ...]:
        """Where the backs lie, in the order of the fronts, once the sheet is turned over its long edge."""
        return tuple(self.turned(front) for front in self.fronts)

    def turned(self, front: Place) -> Place:
        """The place that comes to lie behind ``front``."""
        left = front.left if self.lying else self.width - front.left - front.width
        top = self.height - front.top - front.height if self.lying else front.top
        return Place(left=round(left, 4), top=round(top, 4), width=front.width, height=front.height)


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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """One card on one sheet, as the template places it."""

    side: Markup
    left: float
    width: float
    label_top: float
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _SheetPage:
    marks: str
    gauge_left: float
    gauge_top: float
    caption: str
    cells: tuple[_Cell, ...]


def plan(form: CardFormat, sheet: Paper) -> Sheet:
    """How cards of a format lie on a paper: upright, unless lying down holds at least half as many again.

    :raises RenderError: when not one card fits.
    """
    upright = _grid(form, sheet.width, sheet.height)
    lying = _grid(form, sheet.height, sheet.width)
    best = lying if 2 * len(lying.fronts) >= 3 * len(upright.fronts) else upright
    if not best.fronts:
        raise RenderError(f"no {form.name} card fits on {sheet.name}")
    return best


def _grid(form: CardFormat, width: float, height: float) -> Sheet:
    columns = int((width - 2 * EDGE + GAP_X) // (form.width + GAP_X))
    rows = int((height - HEAD - TAIL + GAP_Y) // (form.height + GAP_Y))
    left = (width - columns * form.width - (columns - 1) * GAP_X) / 2
    top = HEAD + (height - HEAD - TAIL - rows * form.height - (rows - 1) * GAP_Y) / 2
    fronts = tuple(
        Place(
            left=round(left + column * (form.width + GAP_X), 4),
            top=round(top + row * (form.height + GAP_Y), 4),
            width=form.width,
            height=form.height,
        )
        for row in range(rows)
        for column in range(columns)
    )
    return Sheet(width=width, height=height, fronts=fronts)


def crop_marks(places: Sequence[Place]) -> str:
    """The marks of all places as one SVG path in millimetres, none of them inside a card."""
    strokes: list[str] = []
    for place in places:
        right, bottom = place.left + place.width, place.top + place.height
        for x, outward in ((place.left, -1), (right, 1)):
            start = x + outward * MARK_OFF
            strokes += [f"M{start:.3f} {y:.3f}h{outward * MARK_LONG}" for y in (place.top, bottom)]
        for y, outward in ((place.top, -1), (bottom, 1)):
            start = y + outward * MARK_OFF
            strokes += [f"M{x:.3f} {start:.3f}v{outward * MARK_LONG}" for x in (place.left, right)]
    return "".join(strokes)


def gauge_path() -> str:
    """The calibration bar: a line of 50 mm between two ticks."""
    return f"M{EDGE} {GAUGE_TOP}h{GAUGE_MM:g}M{EDGE} {GAUGE_TOP - 2}v4M{EDGE + GAUGE_MM:g} {GAUGE_TOP - 2}v4"


def render_sheets(
    cards: Sequence[Card], figures: Mapping[str, Figure], paper_name: str, jobs: int = 1
) -> list[RenderedSheets]:
    """One PDF a card format: each sheet of fronts is followed by the sheet of its backs.

    :raises FitError: with the faults of all cards, when any does not fit or is not legible.
    :raises RenderError: when the engine cannot set a sheet faithfully.
    """
    refuse_twins(cards)
    groups: dict[str, list[Card]] = {}
    for card in cards:
        groups.setdefault(card_format(card.format).name, []).append(card)
    work = [_Job(name, paper_name, tuple(group), _needed(group, figures)) for name, group in groups.items()]
    done = spread(_render_format, work, jobs)
    faults = [fault for result in done if not isinstance(result, RenderedSheets) for fault in result]
    if faults:
        raise FitError(faults)
    return [result for result in done if isinstance(result, RenderedSheets)]


def _needed(cards: Sequence[Card], figures: Mapping[str, Figure]) -> dict[str, Figure]:
    return {key: figure for card in cards for key, figure in needed_figures(card, figures).items()}


def _render_format(job: _Job) -> RenderedSheets | tuple[str, ...]:
    form = card_format(job.format)
    sheet = plan(form, paper(job.paper))
    css = (card_css(), page_css(sheet.width, sheet.height), side_css(form), _sheet_css(sheet))
    title = f"{form.name} × {job.paper}"
    language = job.cards[0].language
    with PdfEngine((templates_folder(),)) as engine:
        document = engine.document(sheets_html(job.cards, job.figures, sheet, title), css)
        expected = [(card_label(card), side.name) for card in job.cards for side in card.sides]
        faults = fit_faults(sides_of(document), expected, 0)
        if faults:
            return tuple(faults)
        pdf = engine.write(document, title, language)
        pages = len(document.pages)
    return RenderedSheets(
        format=form.name,
        paper=job.paper,
        pdf=pdf,
        pages=pages,
        cards=tuple(card.id for card in job.cards),
        figures=tuple(dict.fromkeys(key for card in job.cards for key in figures_in(card))),
    )


def _sheet_css(sheet: Sheet) -> str:
    size = f"width: {sheet.width}mm; height: {sheet.height}mm"
    return f".sheet, .sheet svg {{ {size} }}"


def sheets_html(cards: Sequence[Card], figures: Mapping[str, Figure], sheet: Sheet, title: str) -> str:
    """The document of all sheets: fronts, backs, fronts, backs; no backs when no card has one."""
    per_sheet = len(sheet.fronts)
    deep = max(len(card.sides) for card in cards)
    if deep > 2:  # noqa: PLR2004 - a sheet has two sides
        raise RenderError("a card on a sheet has a front and at most one back")
    pages = [
        _sheet_page(cards[start : start + per_sheet], figures, sheet, index, _turning(cards, sheet))
        for start in range(0, len(cards), per_sheet)
        for index in range(deep)
    ]
    language = cards[0].language
    return fill(
        "cards/sheets.html",
        language=language,
        title=title,
        pages=pages,
        width=sheet.width,
        height=sheet.height,
        words=words_for(language),
    )


def _turning(cards: Sequence[Card], sheet: Sheet) -> str:
    words = words_for(cards[0].language)
    if all(len(card.sides) == 1 for card in cards):
        return words.one_side
    return words.turn_top if sheet.lying else words.turn_side


def _sheet_page(
    cards: Sequence[Card], figures: Mapping[str, Figure], sheet: Sheet, index: int, caption: str
) -> _SheetPage:
    places = sheet.backs if index else sheet.fronts
    cells = [
        _cell(card, card.sides[index], figures, place)
        for card, place in zip(cards, places, strict=False)
        if index < len(card.sides)
    ]
    marked = places[: len(cards)]
    return _SheetPage(
        marks=crop_marks(marked) + gauge_path(),
        gauge_left=EDGE + GAUGE_MM + 3,
        gauge_top=GAUGE_TOP - 1.6,
        caption=caption,
        cells=tuple(cells),
    )


def _cell(card: Card, side: CardSide, figures: Mapping[str, Figure], place: Place) -> _Cell:
    from markupsafe import Markup  # noqa: PLC0415 - comes with jinja2, so loaded at first need

    words = words_for(card.language)
    name = {"front": words.front, "back": words.back}.get(side.name, side.name)
    draft = f" · {words.draft}" if card.draft else ""
    return _Cell(
        side=Markup(side_html(card, side, figures, place)),  # noqa: S704 - rendered by a template that escapes
        left=place.left,
        width=place.width,
        label_top=place.top + place.height + LABEL_DOWN,
        label=f"{card_label(card)} · {name} · {card.code}{draft}",
    )
