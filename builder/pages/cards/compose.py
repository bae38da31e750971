"""Cards as their authors compose them, block by block."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from builder.figures.figure import NO_BREAK_SPACE
from builder.figures.ledger import Ledger
from builder.pages.blocks import Fig, Inlines, Text
from builder.pages.cards.composers import composers
from builder.pages.cards.context import CardContext
from builder.pages.cards.spelled import with_spelled
from builder.pages.compositions import Card, CardBlock, CardFace, CardSide, figures_in
from builder.pages.fixed_words import AUDIENCES, FIXED
from builder.pages.paper_texts import Composition, PaperTexts, paper_texts
from builder.pages.prose import ProseContext
from builder.pages.seen_text import card_seen, seen_code
from builder.pages.translator import wording_of
from builder.program.cards import BlockSpec, CardSpec
from builder.program.keys.families import CARD_ISSUED, CARD_VALID_UNTIL
from builder.program.program import Program

BOUND_DOT = f"{NO_BREAK_SPACE}·{NO_BREAK_SPACE}"
"""Neither begins nor ends a line."""


def compose_cards(program: Program, ledger: Ledger, prose: ProseContext, *, draft: bool) -> Composition[Card]:
    """Every card in every language it is written for, in the author's order."""
    cards: list[Card] = []
    texts: list[PaperTexts] = []
    for spec in program.cards.values():
        made = [_composed(_context(program, ledger, prose, spec, given.value), draft=draft) for given in spec.spoken]
        cards += (_coded(program, ledger, card) for card in _printed(spec, [card for card, _ in made]))
        for given, (card, context) in zip(spec.spoken, made, strict=True):
            texts.append(paper_texts(spec.id, given, context, FIXED.values(), figures_in(card), ledger))
    return Composition(papers=tuple(cards), texts=tuple(texts))


def _context(program: Program, ledger: Ledger, prose: ProseContext, spec: CardSpec, language: str) -> CardContext:
    wording = wording_of(program, language)
    return CardContext(program=program, ledger=ledger, prose=prose, card=spec, wording=wording)


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


def _coded(program: Program, ledger: Ledger, card: Card) -> Card:
    return replace(card, code=seen_code(program.site.short.value, card_seen(card, ledger.figures)))


def _composed(context: CardContext, *, draft: bool) -> tuple[Card, CardContext]:
    """A card in one language, without its code, and the context that knows which texts it was asked for."""
    spec = context.card
    card = Card(
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
    return card, context


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
