"""Cards imposed on sheets as PDF, each sheet of fronts followed by the sheet of its backs.

Cards are not laid out again: only what stands around them is, and the cards' own PDFs are drawn on it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from builder.base.record import dataclass
from builder.pages.compositions import Card
from builder.program.languages import ENGLISH, is_right_to_left
from builder.render.card_pages import card_css, card_label, leaves, page_css, words_for
from builder.render.cards import RenderedCard
from builder.render.documents import Document, Made, make
from builder.render.formats import card_format, paper
from builder.render.imposition import USUAL, Copy, Placed, Sheet, SheetLayout, filled, plan
from builder.render.jobs import Job, job
from builder.render.pdf import PageBoxes, PdfEngine
from builder.render.sheet_marks import Marks, Note, corner_marks, crop_marks, fold_marks, sheet_numbers, upright_bar
from builder.render.source_words import words_together
from builder.render.templates import fill

MS_A_COPY = 15.0
"""Estimate of the time that a copy of a card takes."""
LABEL_DOWN = 1.4
"""From a card, or its bleed, to the line that names it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCard:
    """What a sheet knows of a card."""

    label: str
    code: str
    language: str
    draft: bool
    leaves: int
    """Printed sides: 1 or 2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """The line under one card on one sheet, as the template places it."""

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


def sheet_card(card: Card) -> SheetCard:
    """What a sheet knows of ``card``."""
    return SheetCard(
        label=card_label(card), code=card.code, language=card.language, draft=card.draft, leaves=len(leaves(card))
    )


def sheet_job(
    cards: Sequence[Card], printed: Sequence[RenderedCard], paper_name: str, setting: SheetLayout
) -> Job[Made]:
    """The sheets of cards of one format as a job; ``printed`` are those cards as they were laid out."""
    form = card_format(cards[0].format).name
    known = tuple(map(sheet_card, cards))
    pdfs = tuple(card.pdf for card in printed)
    cost = MS_A_COPY * setting.copies * len(cards)
    return job("sheets of cards", cost, _render, form, known, pdfs, paper_name, setting)


def _render(
    engine: PdfEngine,
    form: str,
    cards: tuple[SheetCard, ...],
    pdfs: tuple[bytes, ...],
    paper_name: str,
    setting: SheetLayout,
) -> Made:
    sheet = plan(card_format(form), paper(paper_name), setting)
    every = filled([at for at in range(len(cards)) for _ in range(setting.copies)], len(sheet.fronts))
    title = f"{form} × {paper_name}"
    language = sheet_language(cards)
    around = make(
        engine,
        Document(
            name=f"sheets of {form} on {paper_name}",
            html=sheets_html(form, [cards[at] for at in every], sheet, title, setting),
            css=(card_css(), page_css(sheet.width, sheet.height), _sheet_css(sheet)),
            title=title,
            language=language,
            boxes=tuple(_boxes([cards[at] for at in every], sheet, setting)),
        ),
    )
    if not engine.lays_out:
        return replace(around, pdf=words_together([around.pdf, *(pdfs[at] for at in every)]))
    from builder.render.imposing import imposed  # noqa: PLC0415 - its library is loaded at first need

    copies = tuple(_copies(every, [card.leaves for card in cards], sheet))
    return replace(around, pdf=imposed(around.pdf, pdfs, copies, setting.bleed))


def _copies(every: Sequence[int], leaves_of: Sequence[int], sheet: Sheet) -> Iterator[Copy]:
    """Where each copy of each card lies."""
    deep, places, faces = max(leaves_of), len(sheet.fronts), (sheet.fronts, sheet.drawn_backs)
    for number, card in enumerate(every):
        at, first = number % places, number // places * deep
        drawn = ((side, faces[side][at]) for side in range(leaves_of[card]))
        turned = sheet.over_the_top
        yield Copy(card, tuple(Placed(n, first + n, on.left, on.top, turned=turned and n > 0) for n, on in drawn))


def _boxes(cards: Sequence[SheetCard], sheet: Sheet, setting: SheetLayout) -> Iterator[PageBoxes]:
    """The rectangle around all cards of each printed side, trimmed, and its bleed."""
    deep = max(card.leaves for card in cards)
    for part in sheet.dealt(cards):
        for places in (side[: len(part)] for side in (sheet.fronts, sheet.backs)[:deep]):
            yield PageBoxes(
                left=min(at.left for at in places),
                top=min(at.top for at in places),
                right=max(at.left + at.width for at in places),
                bottom=max(at.top + at.height for at in places),
                bleed=setting.bleed,
            )


def _sheet_css(sheet: Sheet) -> str:
    """Nothing is painted behind the marks, since the cards are drawn under them."""
    return f".sheet, .sheet > svg {{ width: {sheet.width}mm; height: {sheet.height}mm }} html {{ background: none }}"


def sheet_language(cards: Sequence[SheetCard]) -> str:
    """The language around the cards of a sheet: that of the first card that is read from left to right."""
    return next((card.language for card in cards if not is_right_to_left(card.language)), ENGLISH)


def sheets_html(form: str, cards: Sequence[SheetCard], sheet: Sheet, title: str, setting: SheetLayout = USUAL) -> str:
    """What stands around the cards of all sheets: fronts, backs, fronts, backs; no backs when no card has one."""
    deep = max(card.leaves for card in cards)
    language = sheet_language(cards)
    words = words_for(language)
    notes = (Note(kind="turn", text=_turning(words, sheet) if deep > 1 else words["one_side"]),)
    dealt = tuple(sheet.dealt(cards))
    pages: list[_SheetPage] = []
    for at, part in enumerate(dealt):
        told = notes + sheet_numbers(words["sheet_of"], at + 1, len(dealt))
        on_it = [card for card, _ in part]
        pages += [_sheet_page(form, on_it, sheet, number, told, setting, words) for number in range(1, deep + 1)]
    return fill("cards/sheets.html", language=language, title=title, pages=pages, words=words)


def _turning(words: Mapping[str, str], sheet: Sheet) -> str:
    if sheet.short_edge:
        return words["turn_short_top"] if sheet.over_the_top else words["turn_short_side"]
    return words["turn_long_top"] if sheet.over_the_top else words["turn_long_side"]


def _sheet_page(
    form_name: str,
    cards: Sequence[SheetCard],
    sheet: Sheet,
    number: int,
    notes: tuple[Note, ...],
    setting: SheetLayout,
    words: Mapping[str, str],
) -> _SheetPage:
    """One side of a sheet; ``words`` are those of the operator."""
    back = number > 1
    places = (sheet.drawn_backs if back else sheet.fronts)[: len(cards)]
    form = card_format(form_name)
    side = words["back"] if back else words["front"]
    draft = f" · {words['draft']}"
    cells = tuple(
        _Cell(
            left=place.left,
            width=place.width,
            label_top=place.top + place.height + setting.bleed + LABEL_DOWN,
            label=f"{card.label} · {side} · {card.code}{draft if card.draft else ''}",
            folded=form.folded,
        )
        for card, place in zip(cards, places, strict=True)
        if number <= card.leaves
    )
    strokes = crop_marks(places, setting.mark_off) + fold_marks(form, places, setting.mark_off)
    strokes += corner_marks(form, places) + upright_bar(sheet.height)
    return _SheetPage(
        marks=sheet.marks(strokes, words["gauge"], *notes), turned=back and sheet.over_the_top, cells=cells
    )
