"""How lines of text and what belongs together stand on a laid-out card, and what must stay clear of text altogether.

Pure rules over ``ink.Side`` records; each gives (block, fault), and ``fit`` says whose they are.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from builder.base.grouping import grouped
from builder.render.formats import SAFE_MM
from builder.render.laid_out import LaidOutItem, Side
from builder.render.shapes import MM_A_PT, Rect, down, up

SPACING = 1.2
"""Least distance of baselines in running text, in type sizes; Regulation (EU) 2024/2865 asks the same of labels."""
SLACK_SPACING = 0.004
STUB = 0.1
"""A last line shorter than this part of its text's width is told: it looks like the start of something cut off."""
HOLE_MM, CLEAR_MM = 5.0, 2.0
"""A punched hole, and how far print stays away from it: punches are that inexact."""
HOLE_MIDDLE_MM = 6.5
"""From the edge to the middle of the hole."""
MODULE_MM = 0.33
"""Least width of a module of a square code."""
HEAD_LINES = 3.0
"""A heading further above what it heads than this many of its type sizes no longer leads to it; common practice."""
SLACK_MM = 0.02
SLACK_MODULE = 0.0005


def spacings(side: Side) -> Iterator[tuple[str, str]]:
    """Running text whose lines stand too close, measured in the size of most of its letters."""
    worst: dict[str, float] = {}
    for lines in _flows(side):
        sizes = Counter[float]()
        for ink in (ink for line in lines for ink in line):
            sizes[round(ink.size_pt, 3)] += len(ink.text.strip())
        size = sizes.most_common(1)[0][0] * MM_A_PT
        for upper, lower in pairwise(lines):
            ratio = (lower[0].baseline - upper[0].baseline) / size
            if ratio < SPACING - SLACK_SPACING:
                block = lower[0].block
                worst[block] = min(ratio, worst.get(block, ratio))
    for block, ratio in worst.items():
        yield block, f"lines stand {down(ratio)} type sizes below each other, at least {SPACING} are needed"


def stubs(side: Side) -> Iterator[tuple[str, str]]:
    """Texts whose last line is a stub, shorter than ``STUB`` of their width.

    Told to the author, but no fault, since nothing is lost or illegible.
    """
    for lines in _flows(side):
        if len(lines) > 1:
            widths = [max(i.rect.right for i in line) - min(i.rect.left for i in line) for line in lines]
            if widths[-1] < STUB * max(widths):
                words = "".join(ink.text for ink in lines[-1]).strip()
                yield lines[-1][0].block, f'"{words}" stands alone on a last line'


def _flows(side: Side) -> Iterator[list[list[LaidOutItem]]]:
    """The lines of each text, from above; what stands on one baseline is one line."""
    texts = (ink for ink in side.inks if ink.kind == "text" and ink.flow and ink.text.strip())
    flows = grouped((ink for ink in texts if not ink.decor and not ink.generated), lambda ink: ink.flow)
    for inks in flows.values():
        lines: list[list[LaidOutItem]] = []
        for ink in sorted(inks, key=lambda one: one.baseline):
            if lines and ink.baseline - lines[-1][0].baseline < SLACK_MM:
                lines[-1].append(ink)
            else:
                lines.append([ink])
        yield lines


def hole(side: Side) -> tuple[float, float] | None:
    """The middle of the punched hole, or ``None`` where the side has none."""
    across = {
        "top-left": side.area.left + HOLE_MIDDLE_MM,
        "top-centre": (side.area.left + side.area.right) / 2,
        "top-right": side.area.right - HOLE_MIDDLE_MM,
    }
    return (across[side.punch], side.area.top + HOLE_MIDDLE_MM) if side.punch in across else None


def hole_faults(side: Side) -> Iterator[tuple[str, str]]:
    """Print that a hole would take away, or that stands too near it."""
    middle = hole(side)
    if middle is None:
        return
    worst: dict[str, float] = {}
    for ink in side.inks:
        if ink.kind != "block" and not ink.decor:
            short = HOLE_MM / 2 + CLEAR_MM - min(_distance(middle, part) for part in _covered(ink))
            if short > SLACK_MM:
                worst[ink.block] = max(short, worst.get(ink.block, 0))
    for block, short in worst.items():
        yield block, f"{up(short)} mm too near the punched hole"


def _covered(ink: LaidOutItem) -> Sequence[Rect]:
    """What an ink really covers: of a frame its edges."""
    rect = ink.rect
    if ink.kind != "rule":
        return (rect,)
    top, right, bottom, left = ink.edges
    return tuple(
        edge
        for drawn, edge in (
            (top, Rect(left=rect.left, top=rect.top, right=rect.right, bottom=rect.top + top)),
            (right, Rect(left=rect.right - right, top=rect.top, right=rect.right, bottom=rect.bottom)),
            (bottom, Rect(left=rect.left, top=rect.bottom - bottom, right=rect.right, bottom=rect.bottom)),
            (left, Rect(left=rect.left, top=rect.top, right=rect.left + left, bottom=rect.bottom)),
        )
        if drawn
    )


def _distance(point: tuple[float, float], rect: Rect) -> float:
    across = max(rect.left - point[0], 0, point[0] - rect.right)
    along = max(rect.top - point[1], 0, point[1] - rect.bottom)
    return float((across**2 + along**2) ** 0.5)


def codes(side: Side) -> Iterator[tuple[str, str]]:
    """Square codes that are too fine, or that have text on them or on their blank edge."""
    for code in (ink for ink in side.inks if ink.kind == "qr"):
        module = (code.rect.right - code.rect.left) / int(code.text)
        if module < MODULE_MM - SLACK_MODULE:
            yield code.block, f"a module of the code is {down(module)} mm wide, at least {MODULE_MM} mm is needed"
        for ink in side.inks:
            read = ink.kind == "text" and not ink.decor and ink.text.strip()  # the word behind drafts is covered
            if read and ink.core is not None and min(ink.core.shared(code.rect)) > SLACK_MM:
                yield ink.block, f'"{ink.text.strip()[:24]}" is printed over a square code or its blank edge'


# ---- what was set apart ------------------------------------------------------------


def torn_over_pages(sides: Sequence[Side], expected: Sequence[tuple[str, str]]) -> Iterator[tuple[Side, str, str]]:
    """What of a side, or panel, ran on to another page; as many pages as were ``expected`` are none too many."""
    wanted = Counter(expected)
    for key, parts in grouped(sides, lambda side: (side.card, side.name)).items():
        for part in parts[max(wanted[key], 1) :]:
            for block in dict.fromkeys(ink.block for ink in part.inks if not ink.decor):
                inks = [ink for ink in part.inks if ink.block == block and not ink.decor]
                tall = max(ink.rect.bottom for ink in inks) - min(ink.rect.top for ink in inks)
                yield part, block, f"{up(tall)} mm of it ran on to page {part.page}"


def torn(side: Side) -> Iterator[tuple[str, str]]:
    """Paragraphs, list items, table rows and headings that stand in two columns."""
    for unit in side.units:
        if len(unit.parts) > 1:
            tall = sum(part.bottom - part.top for part in unit.parts[1:])
            yield unit.block, f"a {unit.kind} is torn, {up(tall)} mm of it stand in another column"


def alone(side: Side) -> Iterator[tuple[str, str]]:
    """Headings that nothing follows, or that stand far from what does."""
    seen = [ink for ink in side.inks if _is_seen(ink)]
    for block, inks in groupby(seen, key=lambda ink: ink.block):
        runs = [(head, list(run)) for head, run in groupby(inks, key=lambda ink: ink.head)]
        for at, (head, run) in enumerate(runs):
            if head and at + 1 == len(runs):
                yield (
                    block,
                    f"{_block_name(run)} stands alone, nothing follows it in the {up(_below(side, run))} mm below",
                )
            elif head:
                yield from ((block, fault) for fault in _apart(run, runs[at + 1][1]))


def _is_seen(ink: LaidOutItem) -> bool:
    """Whether it is something to read or look at."""
    return ink.kind in ("picture", "qr") or (ink.kind == "text" and bool(ink.text.strip()) and not ink.decor)


def _apart(heads: Sequence[LaidOutItem], body: Sequence[LaidOutItem]) -> Iterator[str]:
    first = min(body, key=lambda ink: ink.rect.top) if body[0].kind == "text" else body[0]
    last = max(heads, key=lambda ink: ink.rect.bottom)
    if body[0].rect.top < min(ink.rect.top for ink in heads) - SLACK_MM:
        yield f"{_block_name(heads)} is left alone, {up(heads[0].rect.top - body[0].rect.top)} mm below what it heads"
        return
    gap = first.rect.top - last.rect.bottom
    if gap > HEAD_LINES * last.size_pt * MM_A_PT:
        yield f"{_block_name(heads)} is left alone, {up(gap)} mm above what it heads"


def _below(side: Side, heads: Sequence[LaidOutItem]) -> float:
    end = side.area.bottom - SAFE_MM if side.foot_top is None else side.foot_top
    return max(0.0, end - max(ink.rect.bottom for ink in heads))


def _block_name(heads: Sequence[LaidOutItem]) -> str:
    return f'the heading "{" ".join(heads[0].text.split())[:24]}"'
