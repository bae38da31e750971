"""What a laid-out card must hold to be handed to a worker: everything on it, inside it, and legible.

Pure rules over ``ink.Side`` records. Each fault names the card, the side, the block and the amount.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations

from builder.base.contrast import contrast
from builder.base.record import dataclass
from builder.render.formats import SAFE_MM, SIGN_SAFE_MM
from builder.render.laid_out import LaidOutItem, Side
from builder.render.lines import alone, codes, hole_faults, spacings, stubs, torn, torn_over_pages
from builder.render.shapes import WHITE, Rect, down, up

X_HEIGHT_MM = 1.2
"""Least height of a lower-case x; Regulation (EU) 2024/2865 asks the same of labels."""
DECISIVE_PT = 9.0
ACTION_PT = 13.0
BOLD = 700


@dataclass(frozen=True, slots=True, kw_only=True)
class Legible:
    """What type must be to be read from where its reader is, and what edge stays free."""

    x_height: float
    """Least height of a lower-case x, in mm."""
    decisive: float
    """Points of numbers that decide."""
    action: float
    """Points of what to do on alarm."""
    margin: float
    """Millimetres."""


IN_HAND = Legible(x_height=X_HEIGHT_MM, decisive=DECISIVE_PT, action=ACTION_PT, margin=SAFE_MM)
CONTRAST = 7.0
"""Least ratio of ink to ground, WCAG 2.2 success criterion 1.4.6."""
SLACK_MM = 0.02
"""Rounding of the layout engine, far below what an eye or a cutter can tell."""
SLACK_PT = 0.005
SLACK_X_MM = 0.0005
PLACES = {"cell": "its table cell", "clip": "the box that cuts it off", "picture": "its picture"}
CROSSING_MM = 0.15
"""Text may touch text by this much without being over it: kerning and side bearings."""


def from_metres(away: float) -> Legible:
    """What the type of a sign must be that is read from so many metres; 0 is in the hand.

    Capitals of the text are 5 minutes of arc high, the letter that an eye of acuity 1.0 tells (ISO 8596): 2.9 mm at
    2 m. Figures that decide have 8 minutes (acuity 0.63), orders 10 (acuity 0.5). Capitals of this face have 0.66 of
    its size, a lower-case x 0.486.
    """
    if not away:
        return IN_HAND
    return Legible(x_height=round(1.07 * away, 3), decisive=10 * away, action=12.5 * away, margin=SIGN_SAFE_MM)


def fit_faults(sides: Sequence[Side], expected: Sequence[tuple[str, str]], needed: Legible = IN_HAND) -> list[str]:
    """All faults of laid-out sides; ``expected`` are the (card, side) pairs that had to be there."""
    faults = list(spills(sides, expected))
    for side in sides:
        rules = (losses(side), strays(side, needed.margin), sizes(side, needed), contrasts(side), crossings(side))
        for found in (*rules, overlaps(side)):
            faults.extend(f"{_at(side)}, {fault}" for fault in found)
        for more in (spacings, hole_faults, codes, torn, alone):
            faults.extend(f"{_at(side)}, {_block(block)}: {fault}" for block, fault in more(side))
    faults.extend(f"{_at(side)}, {_block(block)}: {fault}" for side, block, fault in torn_over_pages(sides, expected))
    return list(dict.fromkeys(faults))


def fit_notes(sides: Sequence[Side]) -> list[str]:
    """What an author may want to better on laid-out sides, though nothing is lost or illegible."""
    found = ((side, block, said) for side in sides for block, said in stubs(side))
    return [f"{_at(side)}, {_block(block)}: {said}" for side, block, said in found]


def _at(side: Side) -> str:
    """Card, side and language; the language once, since the name of a card may hold it."""
    known = not side.language or side.card.endswith(f"({side.language})")
    return f"card {side.card}, {side.name}" + ("" if known else f" ({side.language})")


def spills(sides: Sequence[Side], expected: Sequence[tuple[str, str]]) -> Iterator[str]:
    """Sides that are missing, stand on two pages, or were not asked for."""
    seen = Counter((side.card, side.name) for side in sides)
    for (card, name), wanted in Counter(expected).items():
        count = seen[card, name]
        if count != wanted:
            yield f"card {card}, {name}: " + (f"runs over {count} pages" if count else "was not laid out")
    for card, name in seen:
        if (card, name) not in expected:
            yield f"card {card}, {name}: laid out though nobody asked for it"


def losses(side: Side) -> Iterator[str]:
    """Characters and pictures of the source that are not on the card, or not visible."""
    for block, words in side.words:
        set_here = (ink for ink in side.inks if ink.block == block and ink.kind == "text" and not ink.picture)
        printed = "".join(ink.text for ink in set_here if not ink.generated)
        lost = Counter(words) - Counter("".join(printed.replace("\u00ad", "").split()))
        if lost:
            yield f"{_block(block)}: {lost.total()} of {len(words)} characters are not laid out"
    drawn = Counter(ink.block for ink in side.inks if ink.kind in ("picture", "qr"))
    for block, count in (Counter(side.pictures) - drawn).items():
        yield f"{_block(block)}: {count} of {side.pictures.count(block)} pictures are not laid out"
    for block in dict.fromkeys(ink.block for ink in side.inks if ink.hidden):
        yield f"{_block(block)}: hidden by its style"


def strays(side: Side, margin: float = SAFE_MM) -> Iterator[str]:
    """Ink outside the safe area, over the foot, cut by a clipping box, or outside its table cell."""
    end = room_of(side, margin).bottom
    worst: dict[tuple[str, str], float] = {}
    for ink, place, excess in stray_items(side, margin):
        key = (ink.block, place)
        worst[key] = max(excess, worst.get(key, 0))
    for (block, place), excess in worst.items():
        tail = ", which ends at the foot" if place == "below the safe area" and end < side.area.bottom - margin else ""
        yield f"{_block(block)}: {up(excess)} mm {place}{tail if block != 'foot' else ''}"


def room_of(side: Side, margin: float = SAFE_MM) -> Rect:
    """Where a side's text may stand: the safe area down to the foot."""
    safe = side.area.inset(margin)
    end = safe.bottom if side.foot_top is None else min(side.foot_top, safe.bottom)
    return Rect(left=safe.left, top=safe.top, right=safe.right, bottom=end)


def stray_items(side: Side, margin: float = SAFE_MM) -> Iterator[tuple[LaidOutItem, str, float]]:
    """Each piece of ink that leaves what it must stay inside: the piece, where it leaves it, by how many mm."""
    safe, room = side.area.inset(margin), room_of(side, margin)
    for ink in side.inks:
        for place, excess in _excesses(ink, side.area if ink.decor else safe if ink.block == "foot" else room):
            yield ink, place, excess


def _excesses(ink: LaidOutItem, room: Rect) -> Iterator[tuple[str, float]]:
    # Drawn behind the text and cut at the card's edge on purpose; or a blank, which the engine leaves at the end of
    # a line from right to left.
    if ink.decor or (ink.kind == "text" and not ink.text.strip()):
        return
    for place, limit in (("the safe area", room), *ink.bounds):
        name = PLACES.get(place, place)
        sides = (
            ("left of", limit.left - ink.rect.left),
            ("right of", ink.rect.right - limit.right),
            ("above", limit.top - ink.rect.top),
            ("below", ink.rect.bottom - limit.bottom),
        )
        for where, excess in sides:
            if excess > SLACK_MM:
                yield f"{where} {name}", excess


def sizes(side: Side, needed: Legible = IN_HAND) -> Iterator[str]:
    """Type too small, and action type that is not bold."""
    smallest: dict[tuple[str, str], str] = {}
    for ink in sorted(_text_to_read(side), key=lambda ink: ink.size_pt):
        for rule, fault in _size_faults(ink, needed):
            smallest.setdefault((ink.block, rule), f"{_block(ink.block)}: {fault}, at {_start(ink.text)}")
    yield from smallest.values()


def _size_faults(ink: LaidOutItem, needed: Legible) -> Iterator[tuple[str, str]]:
    size = down(ink.size_pt)
    if ink.x_height < needed.x_height - SLACK_X_MM:
        height = down(ink.x_height)
        yield "x", f"a lower-case x is {height} mm high ({size} pt), at least {needed.x_height} mm is needed"
    if ink.decisive and ink.size_pt < needed.decisive - SLACK_PT:
        yield "decisive", f"a decisive number is {size} pt, at least {needed.decisive:g} pt is needed"
    if ink.action and ink.size_pt < needed.action - SLACK_PT:
        yield "action", f"the action is {size} pt, at least {needed.action:g} pt is needed"
    if ink.action and ink.weight < BOLD:
        yield "bold", f"the action is not bold (weight {ink.weight})"


def contrasts(side: Side) -> Iterator[str]:
    """Ink too pale for its ground; on bare paper the word behind a draft is taken as a ground too."""
    behind = [ink.colour for ink in side.inks if ink.decor and ink.kind == "text"]
    found: dict[str, float] = {}
    for ink in _text_to_read(side):
        grounds = (ink.ground, *(behind if ink.ground == WHITE else ()))
        ratio = min(contrast(ink.colour, ground) for ground in grounds)
        if ratio < CONTRAST:
            found[ink.block] = min(ratio, found.get(ink.block, ratio))
    for block, ratio in found.items():
        yield f"{_block(block)}: contrast is {down(ratio)} to 1, at least {CONTRAST:g} to 1 is needed"


def crossings(side: Side) -> Iterator[str]:
    """Text printed over other text."""
    lines = [(ink.core, ink) for ink in _text_to_read(side) if ink.core is not None]
    lines.sort(key=lambda pair: pair[0].top)
    pairs: dict[tuple[str, str], str] = {}
    for index, (core, ink) in enumerate(lines):
        for other, other_ink in lines[index + 1 :]:
            if other.top >= core.bottom - CROSSING_MM:
                break
            across, high = core.shared(other)
            if across > CROSSING_MM:
                first, second = sorted((ink, other_ink), key=lambda one: one.block in ("foot", "title"))
                over = f"{_start(first.text)} and {_start(second.text)} ({_block(second.block)})"
                fault = f"{_block(first.block)}: {over} are printed over each other, {up(min(across, high))} mm deep"
                pairs.setdefault((first.block, second.block), fault)
    yield from pairs.values()


def overlaps(side: Side) -> Iterator[str]:
    """Blocks that lie on each other, even where the lines of one fall between those of the other."""
    frames = [ink for ink in side.inks if ink.kind == "block" and ink.block != "foot"]
    for one, other in combinations(frames, 2):
        across, deep = one.rect.shared(other.rect)
        if across > SLACK_MM and deep > SLACK_MM:
            yield f"{_block(other.block)}: {up(deep)} mm of it lie on {_block(one.block)}"


def _text_to_read(side: Side) -> Iterable[LaidOutItem]:
    """The text a reader has to read."""
    return (ink for ink in side.inks if ink.kind == "text" and not ink.decor and ink.text.strip())


def _block(name: str) -> str:
    return f"block {name}" if name else "outside any block"


def _start(text: str) -> str:
    short = " ".join(text.split())[:24]
    return f'"{short}"'
