"""The card formats and papers this project prints on, with the standard each size is from."""

from __future__ import annotations

from builder.base.errors import RenderError
from builder.base.nearest import hint
from builder.base.record import dataclass

SIGN_SAFE_MM = 10.0
SAFE_MM = 4.0
"""Nothing is printed nearer than this to the edge of a card: cutters and laminating pouches are that inexact."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeSizes:
    """The three sizes of type on a card, in points: a card has no others."""

    text: float
    """Running text, block titles and the foot."""
    decisive: float
    """Numbers that decide what a worker does, and the card's title."""
    action: float
    """What to do on alarm, the number of an emergency and the letter of the role."""


LADDER = (
    TypeSizes(text=9, decisive=12, action=20),
    TypeSizes(text=7.8, decisive=9.8, action=18),
    TypeSizes(text=7.6, decisive=9.4, action=14.2),
    TypeSizes(text=7.2, decisive=9.2, action=13),
)
"""The sizes that cards are set in, the largest first: few, so that cards look like one family. Orders of 18 pt and more
are read at arm's length; 14 pt is what a card of the size of a bank card can hold. The least numbers are a little over
the limits of ``fit``, so that rounding in the engine decides nothing."""
SMALL_LADDER = (TypeSizes(text=7.7, decisive=9.5, action=18), *LADDER[2:])
"""Of cards of the size of a bank card: their orders too are 18 pt unless they are many."""
SIGN_LADDER = (
    TypeSizes(text=19, decisive=26, action=40),
    TypeSizes(text=16.5, decisive=23.5, action=36),
    TypeSizes(text=14.5, decisive=21.5, action=31),
    TypeSizes(text=12.8, decisive=20.2, action=26),
)
"""The same for signs read from 2 m, a little over what ``fit.from_metres`` asks for."""
NEAR_SIGN_LADDER = (
    *SIGN_LADDER[2:],
    TypeSizes(text=10.8, decisive=16.5, action=22),
    TypeSizes(text=9.1, decisive=14.3, action=18),
)
"""Of signs of half the area: from 2 m too where little is on them, else from 1.4 m."""
LEAST_UNASKED = 7.6
"""Points of the smallest text that a card is set in unless its author allows less."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFormat:
    """The trimmed size of a card; of a folded one, laid flat."""

    name: str
    """As authors write it: ``A7``."""
    css: str = "f-sign"
    """Class of its sides in the style sheet."""
    width: float
    """Millimetres."""
    height: float
    """Millimetres."""
    largest: float
    """Points of the largest text that a card is set in: a step of its ``ladder``."""
    read_from: float = 0
    """Metres from which a sign is read where one stands; 0 for what is held in the hand."""
    ladder: tuple[TypeSizes, ...] = LADDER
    """The sizes that it may be set in, the largest first."""
    across: int = 1
    """Panels side by side on one side of the sheet."""
    down: int = 1
    """Panels below each other."""
    front: tuple[int, ...] = (1,)
    """Numbers of the panels on the front, row by row; those of the back are ``back``."""
    back: tuple[int, ...] = (2,)

    @property
    def sign(self) -> bool:
        """Whether it hangs."""
        return self.read_from > 0

    @property
    def margin(self) -> float:
        """Nothing is printed nearer than this to the edge, in mm: office printers do not reach that of a sheet."""
        return SIGN_SAFE_MM if self.sign else SAFE_MM

    @property
    def least_unasked(self) -> float:
        """Points of the smallest text that it is set in unless its author allows less."""
        return self.ladder[-1].text if self.sign else LEAST_UNASKED

    @property
    def folded(self) -> bool:
        """Whether it has panels in place of sides."""
        return self.across * self.down > 1

    @property
    def panel_width(self) -> float:
        """Width of a panel, or of the whole card."""
        return round(self.width / self.across, 4)

    @property
    def panel_height(self) -> float:
        """Height of a panel, or of the whole card."""
        return round(self.height / self.down, 4)

    def panel_at(self, index: int) -> SheetPlace:
        """Where the panel at an index of ``front`` or ``back`` lies on the card."""
        row, column = divmod(index, self.across)
        wide, high = self.panel_width, self.panel_height
        return placed_at(column * wide, row * high, wide, high)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperSize:
    """A sheet of paper, upright."""

    name: str
    width: float
    """Millimetres."""
    height: float
    """Millimetres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPlace:
    """Where a card lies on a sheet, in millimetres from its upper left corner."""

    left: float
    top: float
    width: float
    height: float


def placed_at(left: float, top: float, width: float, height: float) -> SheetPlace:
    """A place, its corner to a ten-thousandth."""
    return SheetPlace(left=round(left, 4), top=round(top, 4), width=width, height=height)


FORMATS: dict[str, CardFormat] = {
    one.name: one
    for one in (
        # ISO/IEC 7810, ID-1, lying
        CardFormat(name="ID-1", css="f-id1", width=85.60, height=53.98, largest=7.7, ladder=SMALL_LADDER),
        CardFormat(name="A7", css="f-a7", width=74, height=105, largest=7.8),  # ISO 216, upright
        CardFormat(name="A6", css="f-a6", width=105, height=148, largest=9),  # ISO 216, upright
        CardFormat(name="3x5in", css="f-3x5", width=76.2, height=127, largest=9),  # index card of 3 × 5 in, upright
        CardFormat(  # ISO 216, A6, lying; folded once to A7, upright
            name="A6-folded",
            css="f-a7",
            width=148,
            height=105,
            largest=7.8,
            across=2,
            front=(4, 1),  # opened flat and seen from outside: the back page on the left, the cover on the right
            back=(2, 3),
        ),
        CardFormat(  # four times ISO/IEC 7810, ID-1, lying, one below the other; folded like a fan to ID-1
            name="strip-4",
            css="f-id1",
            width=85.60,
            height=215.92,
            largest=7.7,
            ladder=SMALL_LADDER,
            down=4,
            front=(1, 2, 3, 4),
            back=(5, 6, 7, 8),
        ),
    )
}

SIGNS: dict[str, CardFormat] = {
    one.name: one
    for one in (
        CardFormat(name="A4", width=210, height=297, largest=19, read_from=2, ladder=SIGN_LADDER),
        CardFormat(name="A5", width=148, height=210, largest=14.5, read_from=1.4, ladder=NEAR_SIGN_LADDER),
        CardFormat(name="Letter", width=215.9, height=279.4, largest=19, read_from=2, ladder=SIGN_LADDER),
    )
}
"""What hangs at an entrance, upright: ISO 216, ASME Y14.1."""

PAPERS: dict[str, PaperSize] = {
    one.name: one
    for one in (
        PaperSize(name="A4", width=210, height=297),  # ISO 216
        PaperSize(name="Letter", width=215.9, height=279.4),  # ASME Y14.1, size A (8.5 × 11 in)
    )
}


def type_steps(form: CardFormat, floor: float = 0) -> tuple[TypeSizes, ...]:
    """The sizes that a card of a format may be set in, the largest first.

    :param floor: points of the smallest text that its author allows; 0 where nothing is said.
    """
    least = floor or form.least_unasked
    return tuple(sizes for sizes in form.ladder if least <= sizes.text <= form.largest)


def card_format(name: str) -> CardFormat:
    """The format an author named.

    :raises RenderError: when there is none of that name.
    """
    every = FORMATS | SIGNS
    if name not in every:
        raise RenderError(_unknown("card format", name, tuple(every)))
    return every[name]


def paper(name: str) -> PaperSize:
    """The paper an author named.

    :raises RenderError: when there is none of that name.
    """
    if name not in PAPERS:
        raise RenderError(_unknown("paper", name, tuple(PAPERS)))
    return PAPERS[name]


def _unknown(what: str, name: str, allowed: tuple[str, ...]) -> str:
    return f"unknown {what} {name!r}; allowed: {', '.join(allowed)}{hint(name, allowed)}"
