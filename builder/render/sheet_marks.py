"""What is printed on a sheet beside its cards or labels: the marks to cut, fold and measure by, as SVG paths in mm."""

from collections.abc import Sequence

from builder.base.record import dataclass
from builder.render.formats import CardFormat, SheetPlace

EDGE = 10.0
"""Left and right of all cards at least this much stays free; printers cannot reach the paper's edge."""
MARK_OFF, MARK_LONG = 3.0, 2.5
"""Crop marks start at least this far outside every card and are this long."""
CORNER_MM = 3.18
"""Radius of the corners of an ID-1 card: ISO/IEC 7810."""
GAUGE_MM, GAUGE_TOP = 50.0, 9.0
UPRIGHT_LEFT = 5.5
"""From the left edge of a sheet of cards to the bar along the paper's feed, which is scaled apart from the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """Where the bar of 50 mm stands: its left end, in millimetres from the paper's upper left corner."""

    left: float = EDGE
    top: float = GAUGE_TOP

    @property
    def beside(self) -> str:
        """How far down a line of small type stands beside it."""
        return f"top: {self.top - 1.6}mm"

    @property
    def path(self) -> str:
        """A line of 50 mm between two ticks, as an SVG path in millimetres."""
        ends = "".join(f"M{x:g} {self.top - 2:g}v4" for x in (self.left, self.left + GAUGE_MM))
        return f"M{self.left:g} {self.top:g}h{GAUGE_MM:g}{ends}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """What a sheet says of its own printing; ``style`` says where, unless the style sheet does by its kind."""

    kind: str
    text: str
    style: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """Everything on one printed side of a sheet that is no card, label or form; ``templates/sheets`` prints it."""

    width: float
    height: float
    path: str
    """All strokes as one SVG path in millimetres."""
    notes: tuple[Note, ...]


def sheet_numbers(text: str, number: int, count: int, style: str = "") -> tuple[Note, ...]:
    """Which of several sheets it is; nothing where it is the only one."""
    return (Note(kind="number", text=text.format(number=number, count=count), style=style),) if count > 1 else ()


def outlines(places: Sequence[SheetPlace]) -> str:
    """The edges of all places as one SVG path in millimetres."""
    return "".join(f"M{at.left:g} {at.top:g}h{at.width:g}v{at.height:g}h{-at.width:g}z" for at in places)


def crop_marks(places: Sequence[SheetPlace], off: float = MARK_OFF) -> str:
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


def upright_bar(height: float) -> str:
    """A second line of 50 mm, along the left edge in the middle of a sheet of this height."""
    top = (height - GAUGE_MM) / 2
    ends = "".join(f"M{UPRIGHT_LEFT - 2:g} {y:g}h4" for y in (top, top + GAUGE_MM))
    return f"M{UPRIGHT_LEFT:g} {top:g}v{GAUGE_MM:g}{ends}"


def corner_marks(form: CardFormat, places: Sequence[SheetPlace]) -> str:
    """Where the corners of cards of the size of a bank card are cut round."""
    if form.name != "ID-1":
        return ""
    r = CORNER_MM
    return "".join(
        f"M{x:.3f} {y + down * r:.3f}A{r} {r} 0 0 {int(across == down)} {x + across * r:.3f} {y:.3f}"
        for at in places
        for x, across in ((at.left, 1), (at.left + at.width, -1))
        for y, down in ((at.top, 1), (at.top + at.height, -1))
    )


def fold_marks(form: CardFormat, places: Sequence[SheetPlace], off: float = MARK_OFF) -> str:
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
