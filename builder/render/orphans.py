"""What belongs together and was set apart: torn paragraphs, items, rows and headings, and headings left alone.

Pure rules over ``ink.Side`` records; ``fit`` says whose the faults are. A short last line is none: see ``lines.stubs``.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby

from builder.render.formats import SAFE_MM
from builder.render.laid_out import LaidOutItem, Side
from builder.render.shapes import MM_A_PT, up

HEAD_LINES = 3.0
"""A heading further above what it heads than this many of its type sizes no longer leads to it; common practice."""
SLACK_MM = 0.02


def torn_over_pages(sides: Sequence[Side], expected: Sequence[tuple[str, str]]) -> Iterator[tuple[Side, str, str]]:
    """What of a side, or panel, ran on to another page; as many pages as were ``expected`` are none too many."""
    wanted = Counter(expected)
    met: dict[tuple[str, str], list[Side]] = {}
    for side in sides:
        met.setdefault((side.card, side.name), []).append(side)
    for key, parts in met.items():
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
