"""Where cards lie on a sheet, where their backs must lie, and the marks to cut, fold and measure by: plain geometry.

Cards are turned like the page of a book: front and back have their top, and so their punched hole, on the same edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder.base.errors import RenderError
from builder.base.quantity import Quantity, magnitude
from builder.base.where import Given
from builder.program.sheets import SheetSetting
from builder.render.formats import CardFormat, Paper, Place

EDGE = 10.0
"""Left and right of all cards at least this much stays free; printers cannot reach the paper's edge."""
HEAD, TAIL = 16.0, 12.0
"""Free above and below: the head has the bar and the turning note."""
MARK_OFF, MARK_LONG = 1.0, 2.5
"""Crop marks start at least this far outside the card and are this long."""
GAUGE_MM, GAUGE_TOP = 50.0, 9.0
LABEL_MM = 10.0
"""Least room below a card: its marks and its label."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How cards are set out on sheets; lengths in millimetres."""

    short_edge: bool = False
    """Whether the printer turns the sheet over its short edge; else over its long edge."""
    bleed: float = 0
    """What is drawn up to a card's edge goes on this far beyond it."""
    gutter: float = 8
    """Least distance between cards."""
    lamination: float = 3
    """Margin around each card that reaches into no other card's margin."""
    copies: int = 1

    @property
    def apart(self) -> float:
        """Distance between cards side by side."""
        return max(self.gutter, 2 * self.lamination, self.mark_off + MARK_LONG + self.bleed)

    @property
    def mark_off(self) -> float:
        """How far outside a card its marks begin: beyond the bleed."""
        return max(MARK_OFF, self.bleed)


USUAL = Setting()


def setting_of(written: SheetSetting) -> Setting:
    """What a site's ``sheets.yaml`` says, and the builder's choice where it says nothing."""
    return Setting(
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
    fronts: tuple[Place, ...]
    short_edge: bool = False

    @property
    def lying(self) -> bool:
        """Whether the sheet's long edge is at the top."""
        return self.width > self.height

    @property
    def over_the_top(self) -> bool:
        """Whether the sheet is turned over its upper edge, and not like the page of a book."""
        return self.lying is not self.short_edge

    @property
    def backs(self) -> tuple[Place, ...]:
        """Where the backs lie on the paper, in the order of the fronts, once the sheet is turned."""
        return tuple(self.turned(front) for front in self.fronts)

    @property
    def drawn_backs(self) -> tuple[Place, ...]:
        """Where the backs are drawn: a side turned over the top is drawn whole, then given a half turn."""
        return tuple(self.half_turn(back) if self.over_the_top else back for back in self.backs)

    def turned(self, front: Place) -> Place:
        """The place that comes to lie behind ``front``."""
        left = front.left if self.over_the_top else self.width - front.left - front.width
        top = self.height - front.top - front.height if self.over_the_top else front.top
        return Place(left=round(left, 4), top=round(top, 4), width=front.width, height=front.height)

    def half_turn(self, place: Place) -> Place:
        """A place as seen once the sheet has made half a turn on the table."""
        return Place(
            left=round(self.width - place.left - place.width, 4),
            top=round(self.height - place.top - place.height, 4),
            width=place.width,
            height=place.height,
        )


def plan(form: CardFormat, sheet: Paper, setting: Setting = USUAL) -> Sheet:
    """How cards of a format lie on a paper: upright, unless lying down holds at least half as many again.

    :raises RenderError: when not one card fits.
    """
    upright = _grid(form, sheet.width, sheet.height, setting)
    lying = _grid(form, sheet.height, sheet.width, setting)
    best = lying if 2 * len(lying.fronts) >= 3 * len(upright.fronts) else upright
    if not best.fronts:
        raise RenderError(f"no {form.name} card fits on {sheet.name}")
    return best


def _grid(form: CardFormat, width: float, height: float, setting: Setting) -> Sheet:
    gap_x = setting.apart
    gap_y = max(setting.apart, LABEL_MM, 2 * setting.bleed + LABEL_MM / 2)
    columns = int((width - 2 * EDGE + gap_x) // (form.width + gap_x))
    head, tail = (room + setting.mark_off - MARK_OFF for room in (HEAD, TAIL))
    rows = int((height - head - tail + gap_y) // (form.height + gap_y))
    left = (width - columns * form.width - (columns - 1) * gap_x) / 2
    top = head + (height - head - tail - rows * form.height - (rows - 1) * gap_y) / 2
    fronts = tuple(
        Place(
            left=round(left + column * (form.width + gap_x), 4),
            top=round(top + row * (form.height + gap_y), 4),
            width=form.width,
            height=form.height,
        )
        for row in range(rows)
        for column in range(columns)
    )
    return Sheet(width=width, height=height, fronts=fronts, short_edge=setting.short_edge)


def crop_marks(places: Sequence[Place], off: float = MARK_OFF) -> str:
    """The marks of all places as one SVG path in millimetres, none of them inside a card or its bleed."""
    strokes: list[str] = []
    for place in places:
        right, bottom = place.left + place.width, place.top + place.height
        for x, outward in ((place.left, -1), (right, 1)):
            start = x + outward * off
            strokes += [f"M{start:.3f} {y:.3f}h{outward * MARK_LONG}" for y in (place.top, bottom)]
        for y, outward in ((place.top, -1), (bottom, 1)):
            start = y + outward * off
            strokes += [f"M{x:.3f} {start:.3f}v{outward * MARK_LONG}" for x in (place.left, right)]
    return "".join(strokes)


def fold_marks(form: CardFormat, places: Sequence[Place], off: float = MARK_OFF) -> str:
    """Where folded cards are folded: a broken stroke at either end of each fold, outside the card."""
    strokes: list[str] = []
    for place in places:
        for column in range(1, form.across):
            x = place.left + column * form.panel_width
            ends = ((place.top - off, -1), (place.top + place.height + off, 1))
            strokes += [f"M{x:.3f} {y:.3f}v{way}m0 {0.5 * way}v{way}" for y, way in ends]
        for row in range(1, form.down):
            y = place.top + row * form.panel_height
            ends = ((place.left - off, -1), (place.left + place.width + off, 1))
            strokes += [f"M{x:.3f} {y:.3f}h{way}m{0.5 * way} 0h{way}" for x, way in ends]
    return "".join(strokes)


def gauge_path() -> str:
    """The calibration bar: a line of 50 mm between two ticks."""
    return f"M{EDGE} {GAUGE_TOP}h{GAUGE_MM:g}M{EDGE} {GAUGE_TOP - 2}v4M{EDGE + GAUGE_MM:g} {GAUGE_TOP - 2}v4"
