"""Every abbreviation on a card, spelled once at the end of its last side: formulae of gases, and units."""

import re
from collections.abc import Iterable, Iterator, Sequence

from builder.figures.figure import NO_BREAK_SPACE
from builder.pages.blocks import Paragraph, between
from builder.pages.cards.context import CardContext
from builder.pages.channel_names import CHANNEL_WORDS, channel_word
from builder.pages.compositions import CardBlock, CardSide
from builder.pages.numbers import spoken_figures
from builder.pages.plain import Words
from builder.program.test_order import in_test_order

UNITS = {
    "%LEL": "percent of the lower explosive limit",
    "LEL": "lower explosive limit",
    "%vol": "percent by volume",
    "ppm": "parts per million",
}
"""Unit as displays show it -> what it stands for. Averages and danger to life are spelled where they are printed."""


def with_spelled(context: CardContext, sides: Sequence[CardSide]) -> tuple[CardSide, ...]:
    """The sides, the last with what the abbreviations on all of them stand for."""
    figures = Words(spoken_figures(context.ledger.figures, context.language))
    lines = [line for side in sides for block in side.blocks for line in (block.title, *figures.lines(block.blocks))]
    told = [f"{short}{NO_BREAK_SPACE}{meant}" for short, meant in _met(context, " ".join(lines))]
    if not told:
        return tuple(sides)
    *others, last = sides
    block = CardBlock(name="spelled", title="", blocks=(Paragraph(between(told)),))
    return (*others, CardSide(name=last.name, blocks=(*last.blocks, block), face=last.face))


def _met(context: CardContext, text: str) -> Iterator[tuple[str, str]]:
    for channel in _gas_channels(context):
        formula, gas = channel_word(context.program, channel), context.gases([channel])
        if _stands(formula, text) and gas.casefold() not in text.casefold():
            yield formula, gas
    units = [unit for unit in UNITS if _stands(unit, text)]
    for unit in units:
        if not (unit == "LEL" and "%LEL" in units):  # told by the other
            yield unit, context.text(UNITS[unit])


def _stands(short: str, text: str) -> bool:
    """Whether an abbreviation stands in a text by itself."""
    return re.search(rf"(?<![\w%]){re.escape(short)}(?!\w)", text) is not None


def _gas_channels(context: CardContext) -> Iterable[str]:
    channels = {sensor.channel.value for sensor in context.program.sensors.values()}
    return (one for one in in_test_order(channels) if one not in CHANNEL_WORDS)
