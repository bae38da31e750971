"""What a reader sees on a printed thing, as plain data, and the short code made from that and nothing else.

A code must stay the same when the builder is changed and the paper is not, so it is never made from records of the
code itself. Another number, word, order, language or foot is another code.
"""

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import TypeAlias

from builder.figures.figure import Figure
from builder.pages.blocks import Block, Chart, Qr
from builder.pages.compositions import Card, CardSide
from builder.pages.fixed_words import FIXED
from builder.pages.numbers import spoken_figures
from builder.pages.plain import Words
from builder.pages.wording import Wording, short_code

CODE_FORMAT = 2
"""Number of the way in which codes are made; another one gives every card and label another code."""
Seen: TypeAlias = "str | bool | list[Seen]"
"""Words and numbers as printed, in reading order."""


def seen_code(short: str, seen: Seen) -> str:
    """A short code of all that a reader sees; its page lists it beside the title, so a chance match is found.

    :param short: the site's letters.
    """
    told = json.dumps([f"code format {CODE_FORMAT}", _spaced(seen)], ensure_ascii=True)
    return short_code(short, told.encode())


def card_seen(card: Card, figures: Mapping[str, Figure]) -> Seen:
    """What a reader sees on a card: its size, and side by side language, head, blocks, foot and the mark of a draft."""
    return [card.format, *(_side_seen(card.faced(side), side, figures) for side in card.sides)]


def _side_seen(card: Card, side: CardSide, figures: Mapping[str, Figure]) -> Seen:
    words = Words(spoken_figures(figures, card.language))
    wording = Wording(language=card.language)
    fixed = ("prevail", *(("invented",) if card.invented else ()), *(("draft", "draft_means") if card.draft else ()))
    return [
        card.language,
        [card.title, card.who or card.audience, card.area],
        [[block.title, *_lines(block.blocks, words)] for block in side.blocks],
        words.inline(card.foot),
        [wording.text(FIXED[name]) for name in fixed],
    ]


def _lines(blocks: Iterable[Block], words: Words) -> Iterator[str]:
    for block in blocks:
        if isinstance(block, Qr):
            yield from (block.says, block.address or block.before)
        else:
            yield from words.lines((block,))
            if isinstance(block, Chart):
                yield from _drawn(block, words.figures)


def _drawn(chart: Chart, figures: Mapping[str, Figure]) -> Iterator[str]:
    """The axes of a drawing with their units, its lines with their points, and its marks."""
    for axis in (chart.x, chart.y):
        if axis is not None:
            yield f"{axis.label}, {axis.unit}"
    for line in chart.lines:
        yield from (line.name, *(figures[key].printed for point in line.points for key in point))
    for mark in chart.marks:
        yield f"{mark.label} {figures[mark.key].printed}"


def _spaced(seen: Seen) -> Seen:
    """The same with every run of white space as one space: where a line may break is not read."""
    if isinstance(seen, list):
        return [_spaced(part) for part in seen]
    return " ".join(seen.split()) if isinstance(seen, str) else seen
