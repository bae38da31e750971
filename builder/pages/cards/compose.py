"""Cards as their authors compose them, block by block; abbreviations on a card are spelled once, on its last side."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from builder.figures.figure import NO_BREAK_SPACE
from builder.figures.ledger import Ledger
from builder.pages.blocks import Fig, Inlines, Paragraph, Text, between
from builder.pages.cards.composers import composers
from builder.pages.cards.context import CardContext
from builder.pages.compositions import Card, CardBlock, CardFace, CardSide, figures_in
from builder.pages.fixed_words import AUDIENCES, FIXED
from builder.pages.handbook.labels import CHANNEL_WORDS, channel_word
from builder.pages.numbers import spoken_figures
from builder.pages.plain import Words
from builder.pages.prose import ProseContext
from builder.pages.seen_text import card_seen, seen_code
from builder.pages.translator import Composition, PaperTexts, paper_texts, wording_of
from builder.program.cards import BlockSpec, CardSpec
from builder.program.keys.families import CARD_ISSUED, CARD_VALID_UNTIL
from builder.program.program import Program
from builder.program.test_order import in_test_order

BOUND_DOT = f"{NO_BREAK_SPACE}·{NO_BREAK_SPACE}"
"""Neither begins nor ends a line."""


def compose_cards(program: Program, ledger: Ledger, prose: ProseContext, *, draft: bool) -> Composition[Card]:
    """Every card in every language it is written for, in the author's order."""
    cards: list[Card] = []
    texts: list[PaperTexts] = []
    for spec in program.cards.values():
        spoken: list[Card] = []
        for given in spec.spoken:
            wording = wording_of(program, given.value)
            context = CardContext(program=program, ledger=ledger, prose=prose, card=spec, wording=wording)
            card = _composed(context, draft=draft)
            spoken.append(card)
            texts.append(paper_texts(spec.id, given, context, FIXED.values(), figures_in(card), ledger))
        short = program.site.short.value
        cards += (
            replace(card, code=seen_code(short, card_seen(card, ledger.figures))) for card in _printed(spec, spoken)
        )
    return Composition(papers=tuple(cards), texts=tuple(texts))


def _printed(spec: CardSpec, spoken: Sequence[Card]) -> Iterator[Card]:
    """A card a language, or one with a side a language."""
    first, *others = spoken
    if spec.bilingual:
        yield _bilingual(first, others[0])
        return
    yield first
    yield from (replace(card, variant=card.language) for card in others)


def _bilingual(front: Card, back: Card) -> Card:
    """One card that says the same on both sides, each in its own language."""
    face = CardFace(language=back.language, title=back.title, who=back.who, area=back.area, foot=back.foot)
    return replace(front, sides=(front.sides[0], CardSide(name="back", blocks=back.sides[0].blocks, face=face)))


def _composed(context: CardContext, *, draft: bool) -> Card:
    """A card in one language, without its code."""
    spec = context.card
    return Card(
        id=spec.id,
        title=context.content_text(spec.titles) if spec.titles else spec.title,
        audience=spec.audience,
        who=context.text(AUDIENCES[spec.audience]),
        area=context.named(context.area) if spec.area else "",
        format=spec.format,
        language=context.language,
        sides=with_spelled(context, [CardSide(name=name, blocks=_side(context, part)) for name, part in _sides(spec)]),
        foot=_foot(context, draft=draft),
        code="",
        draft=draft,
        punch="" if spec.punch == "none" else spec.punch,
        smallest=float(spec.smallest or 0),
        invented=context.program.site.invented,
    )


def _sides(spec: CardSpec) -> tuple[tuple[str, tuple[BlockSpec, ...]], ...]:
    """Names of the sides, or panels, with what the author put on them."""
    if spec.panels:
        return tuple((f"panel {number}", blocks) for number, blocks in enumerate(spec.panels, start=1))
    return (("front", spec.front), *((("back", spec.back),) if spec.back else ()))


def _side(context: CardContext, specs: Iterable[BlockSpec]) -> tuple[CardBlock, ...]:
    return tuple(composers()[spec.name](context, spec) for spec in specs)


def _foot(context: CardContext, *, draft: bool) -> Inlines:
    """Which card it is; a draft holds for no time at all, so none is printed."""
    day: Inlines = (Fig(CARD_ISSUED()),)
    revision = context.program.revision
    if draft or revision is None:
        name = f"{context.text(FIXED['draft'])}: {context.text(FIXED['draft_means'])}"
        return (Text(f"{name}{BOUND_DOT}"), *day)
    name = context.text("Rev {number}", number=str(revision.number.value))
    until: Inlines = (Fig(CARD_VALID_UNTIL(card=context.card.id)),)
    said = context.sentence("{name} · {day} · valid until {until}", name=name, day=day, until=until)
    return tuple(Text(part.text.replace(" · ", BOUND_DOT)) if isinstance(part, Text) else part for part in said)


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
        if _stands(formula, text) and not _stands(gas.casefold(), text.casefold()):
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
