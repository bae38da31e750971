"""Laid-out card sides as small records: where each piece of ink lies, how large it is and what it must stay inside.

All lengths are millimetres from the page's upper left corner, after transforms. ``boxes`` makes them; the rules are in
``fit`` and ``lines``.
"""

from builder.base.record import dataclass
from builder.render.shapes import WHITE, Colour, Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOutItem:
    """One laid-out piece: a run of text, a picture or a table."""

    kind: str
    """``text``, ``picture``, ``qr``, ``table``, ``rule`` (drawn borders) or ``block`` (the frame of a card block)."""
    block: str
    """Name of the card block it belongs to."""
    rect: Rect
    """What it covers."""
    bounds: tuple[tuple[str, Rect], ...] = ()
    """Further things it must stay inside: (``cell`` or ``clip``, where)."""
    text: str = ""
    size_pt: float = 0
    """Type size after transforms."""
    x_height: float = 0
    """Height of a lower-case x."""
    weight: int = 400
    core: Rect | None = None
    """The band of lower-case letters, which other text must not cross."""
    colour: Colour = (0, 0, 0)
    """As it appears, opacity applied."""
    ground: Colour = WHITE
    """Background under it."""
    decisive: bool = False
    action: bool = False
    hidden: bool = False
    decor: bool = False
    """Behind the text on purpose: the word on drafts."""
    picture: bool = False
    """A text inside a picture."""
    generated: bool = False
    """From the style sheet (list markers), not from the card's words."""
    flow: int = 0
    """Number of the text it is a part of: lines of one flow stand below each other. 0 for what is no text."""
    baseline: float = 0
    edges: tuple[float, float, float, float] = (0, 0, 0, 0)
    """Widths of the drawn borders of a rule: top, right, bottom, left."""
    head: bool = False
    """A heading or a column's head: what it heads must follow it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TextGroup:
    """A paragraph, list item, table row or heading, and the pieces it is laid out in."""

    block: str
    kind: str
    parts: tuple[Rect, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of a card as laid out on a page."""

    card: str
    name: str
    page: int
    """Number of the page, the first is 1."""
    area: Rect
    """The trimmed card."""
    foot_top: float | None
    """Where the foot begins, or ``None`` without a foot."""
    inks: tuple[LaidOutItem, ...]
    words: tuple[tuple[str, str], ...]
    """(block, its characters without white space) of the source."""
    pictures: tuple[str, ...] = ()
    """The block of each picture of the source."""
    punch: str = ""
    """Where a hole is punched in it: ``top-left``, ``top-centre``, ``top-right``, or nowhere."""
    language: str = ""
    """Its language tag."""
    units: tuple[TextGroup, ...] = ()
    """What must stay in one piece, in order."""
