"""Where cards, labels and forms lie on a sheet of paper: plain geometry.

Cards are set in a grid of the builder's choice (``plan``), labels in that of the sheet they are bought on
(``die_cut``), a form has a page of its own (``whole_page``). Cards are turned like the page of a book: front and back
have their top, and so their punched hole, on the same edge.
"""

from collections.abc import Iterator, Sequence
from typing import TypeVar

from builder.base.errors import RenderError
from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.where import Given
from builder.pages.labels import LabelGrid
from builder.program.paper_settings import SheetSetting
from builder.render.formats import CardFormat, PaperSize, SheetPlace, placed_at
from builder.render.sheet_marks import EDGE, GAUGE_MM, MARK_LONG, MARK_OFF, Bar, Marks, Note

HEAD, TAIL = 16.0, 12.0
"""Free above and below: the head has the bar and the turning note."""
BAR_ROOM = 8.0
"""A margin beside labels holds the bar when it is at least this high."""
HEAD_OF_FORM, FOOT, OVER_FOOT = 15.0, 18.4, 1.4
"""Above and below what is filled in on a form: its head, under the free edge, its foot with boxes to sign in, and of
that the distance between both, so that no line to write on seems to belong to the boxes."""
BEYOND = 0.001
"""Millimetres by which a grid may leave its paper: rounding of what its maker states."""
LABEL_MM = 10.0
"""Least room below a card: its marks and its label."""

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLayout:
    """How cards are set out on sheets; lengths in millimetres."""

    short_edge: bool = False
    """Whether the printer turns the sheet over its short edge; else over its long edge."""
    bleed: float = 0
    """What is drawn up to a card's edge goes on this far beyond it."""
    gutter: float = 9
    """Least distance between cards."""
    lamination: float = 3
    """Margin around each card that reaches into no other card's margin."""
    copies: int = 1

    @property
    def apart(self) -> float:
        """Distance between cards side by side."""
        return max(self.gutter, 2 * self.lamination, 2 * self.mark_off + MARK_LONG)

    @property
    def mark_off(self) -> float:
        """How far outside a card its marks begin: beyond the bleed."""
        return max(MARK_OFF, self.bleed)


USUAL = SheetLayout()


def setting_of(written: SheetSetting) -> SheetLayout:
    """What a site's ``sheets.yaml`` says, and the builder's choice where it says nothing."""
    return SheetLayout(
        short_edge=written.turn == "short-edge",
        bleed=_millimetres(written.bleed, USUAL.bleed),
        gutter=_millimetres(written.gutter, USUAL.gutter),
        lamination=_millimetres(written.lamination, USUAL.lamination),
        copies=written.copies,
    )


def _millimetres(given: Given[Quantity] | None, usual: float) -> float:
    return float(magnitude(given.value, "mm")) if given else usual


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The plan of one sheet, as seen on either side before it is turned."""

    width: float
    height: float
    fronts: tuple[SheetPlace, ...]
    short_edge: bool = False
    bar: Bar | None = Bar()
    """``None`` where no margin holds it."""

    @property
    def lying(self) -> bool:
        """Whether the sheet's long edge is at the top."""
        return self.width > self.height

    @property
    def over_the_top(self) -> bool:
        """Whether the sheet is turned over its upper edge, and not like the page of a book."""
        return self.lying is not self.short_edge

    @property
    def backs(self) -> tuple[SheetPlace, ...]:
        """Where the backs lie on the paper, in the order of the fronts, once the sheet is turned."""
        return tuple(self.turned(front) for front in self.fronts)

    @property
    def drawn_backs(self) -> tuple[SheetPlace, ...]:
        """Where the backs are drawn: a side turned over the top is drawn whole, then given a half turn."""
        return tuple(self.half_turn(back) if self.over_the_top else back for back in self.backs)

    def marks(self, strokes: str = "", gauge: str = "", *notes: Note) -> Marks:
        """The marks of one side: given strokes, and the bar with the text that tells what it is for."""
        if self.bar is None:
            return Marks(width=self.width, height=self.height, path=strokes, notes=notes)
        told = Note(kind="gauge", text=gauge, style=f"left: {self.bar.left + GAUGE_MM + 3}mm; {self.bar.beside}")
        return Marks(width=self.width, height=self.height, path=strokes + self.bar.path, notes=(told, *notes))

    def dealt(self, items: Sequence[T], copies: int = 1, start: int = 1) -> Iterator[tuple[tuple[T, SheetPlace], ...]]:
        """For each sheet its items with their places, every item ``copies`` times, side by side.

        :param start: place of the first one on the first sheet, counted from 1; those before it stay free.
        """
        every = [item for item in items for _ in range(copies)]
        free = self.fronts[start - 1 :]
        while every:
            yield tuple(zip(every, free, strict=False))
            every, free = every[len(free) :], self.fronts

    def turned(self, front: SheetPlace) -> SheetPlace:
        """The place that comes to lie behind ``front``."""
        left = front.left if self.over_the_top else self.width - front.left - front.width
        top = self.height - front.top - front.height if self.over_the_top else front.top
        return placed_at(left, top, front.width, front.height)

    def half_turn(self, place: SheetPlace) -> SheetPlace:
        """A place as seen once the sheet has made half a turn on the table."""
        left, top = self.width - place.left - place.width, self.height - place.top - place.height
        return placed_at(left, top, place.width, place.height)


@dataclass(frozen=True, slots=True)
class Placed:
    """One printed side of a card on a page."""

    side: int
    """Which page of the card's own document it is, from 0."""
    page: int
    """Which page of the sheets it lies on, from 0."""
    left: float
    """Millimetres from the left edge of that page, as it is drawn."""
    top: float
    turned: bool
    """Whether the whole page is given a half turn."""


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy of a card."""

    card: int
    """Which of the cards it is, from 0."""
    sides: tuple[Placed, ...]


def plan(form: CardFormat, sheet: PaperSize, setting: SheetLayout = USUAL) -> Sheet:
    """How cards of a format lie on a paper: upright, unless lying down holds at least half as many again.

    :raises RenderError: when not one card fits.
    """
    upright = _grid(form, sheet.width, sheet.height, setting)
    lying = _grid(form, sheet.height, sheet.width, setting)
    best = lying if 2 * len(lying.fronts) >= 3 * len(upright.fronts) else upright
    if not best.fronts:
        raise RenderError(f"no {form.name} card fits on {sheet.name}")
    return best


def _grid(form: CardFormat, width: float, height: float, setting: SheetLayout) -> Sheet:
    gap_x = setting.apart
    gap_y = max(setting.apart, LABEL_MM, 2 * setting.bleed + LABEL_MM / 2)
    columns = int((width - 2 * EDGE + gap_x) // (form.width + gap_x))
    head, tail = (room + setting.mark_off - MARK_OFF for room in (HEAD, TAIL))
    rows = int((height - head - tail + gap_y) // (form.height + gap_y))
    left = (width - columns * form.width - (columns - 1) * gap_x) / 2
    top = head + (height - head - tail - rows * form.height - (rows - 1) * gap_y) / 2
    fronts = _places(columns, rows, SheetPlace(left=left, top=top, width=form.width, height=form.height), gap_x, gap_y)
    return Sheet(width=width, height=height, fronts=fronts, short_edge=setting.short_edge)


def _places(columns: int, rows: int, first: SheetPlace, gap_x: float, gap_y: float) -> tuple[SheetPlace, ...]:
    """Equal places in a grid, row by row; ``first`` is that in the upper left corner."""
    return tuple(
        placed_at(
            first.left + column * (first.width + gap_x),
            first.top + row * (first.height + gap_y),
            first.width,
            first.height,
        )
        for row in range(rows)
        for column in range(columns)
    )


def die_cut(grid: LabelGrid, sheet: PaperSize) -> Sheet:
    """Where the labels of a bought sheet lie, with the bar in the margin above or below them that holds it.

    :raises RenderError: when the grid leaves the paper.
    """
    first = SheetPlace(left=grid.left, top=grid.top, width=grid.width, height=grid.height)
    places = _places(grid.columns, grid.rows, first, grid.gap_x, grid.gap_y)
    right, bottom = places[-1].left + places[-1].width, places[-1].top + places[-1].height
    beyond = max(right - sheet.width, bottom - sheet.height)
    if beyond > BEYOND:
        raise RenderError(f"label sheet {grid.id}: its grid leaves {grid.paper} paper by {beyond:.1f} mm")
    bar = None
    if grid.top >= BAR_ROOM:
        bar = Bar(top=grid.top - BAR_ROOM / 2)
    elif sheet.height - bottom >= BAR_ROOM:
        bar = Bar(top=bottom + BAR_ROOM / 2)
    return Sheet(width=sheet.width, height=sheet.height, fronts=places, bar=bar)


def whole_page(sheet: PaperSize) -> Sheet:
    """A form on paper held lying: its one place is the room that is printed in, under its head and over its foot."""
    top = EDGE + HEAD_OF_FORM
    room = SheetPlace(left=EDGE, top=top, width=sheet.height - 2 * EDGE, height=sheet.width - top - FOOT)
    return Sheet(width=sheet.height, height=sheet.width, fronts=(room,), bar=None)


def filled(items: Sequence[T], places: int) -> list[T]:
    """Items, those of the last sheet as often as it has places for, side by side, so that no paper is wasted.

    >>> filled(["a", "b", "c"], 2), filled(["a", "b"], 5)
    (['a', 'b', 'c', 'c'], ['a', 'a', 'a', 'b', 'b'])
    """
    full = len(items) - len(items) % places
    rest = items[full:]
    return [*items[:full], *(rest[at * len(rest) // places] for at in range(places if rest else 0))]
