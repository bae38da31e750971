"""Cards as their authors compose them, block by block."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from builder.figures.ledger import Ledger
from builder.pages.blocks import Card, CardBlock, CardFace, CardSide, Fig, Inlines
from builder.pages.cards.composers import composers
from builder.pages.cards.context import CardContext
from builder.pages.fixed_words import AUDIENCES
from builder.pages.prose import ProseContext
from builder.pages.seen_text import card_seen, seen_code
from builder.pages.wording import Wording
from builder.program.cards import BlockSpec, CardSpec
from builder.program.keys.families import CARD_ISSUED, CARD_VALID_UNTIL
from builder.program.program import Program


def compose_cards(program: Program, ledger: Ledger, prose: ProseContext, *, draft: bool) -> tuple[Card, ...]:
    """Every card in every language it is written for, in the author's order."""
    return tuple(
        card
        for spec in program.cards.values()
        for card in _cards([scene_of(program, ledger, prose, spec, given.value) for given in spec.spoken], draft=draft)
    )


def scene_of(program: Program, ledger: Ledger, prose: ProseContext, spec: CardSpec, language: str) -> CardContext:
    """What one card is composed from in one language."""
    return CardContext(program=program, ledger=ledger, prose=prose, card=spec, wording=Wording(language=language))


def _cards(scenes: Sequence[CardContext], *, draft: bool) -> Iterator[Card]:
    """A card a language, or one with a side a language."""
    first, *others = (composed(scene, draft=draft) for scene in scenes)
    if scenes[0].card.bilingual:
        yield _coded(_bilingual(first, others[0]), scenes[0])
        return
    yield _coded(first, scenes[0])
    for card, scene in zip(others, scenes[1:], strict=True):
        yield _coded(replace(card, variant=card.language), scene)


def _bilingual(front: Card, back: Card) -> Card:
    """One card that says the same on both sides, each in its own language."""
    face = CardFace(language=back.language, title=back.title, who=back.who, area=back.area, foot=back.foot)
    return replace(front, sides=(front.sides[0], CardSide(name="back", blocks=back.sides[0].blocks, face=face)))


def _coded(card: Card, scene: CardContext) -> Card:
    return replace(card, code=seen_code(scene.program.site.short.value, card_seen(card, scene.ledger.figures)))


def composed(scene: CardContext, *, draft: bool) -> Card:
    """A card in the language of its scene, without its code."""
    spec = scene.card
    return Card(
        id=spec.id,
        title=scene.content_text(spec.titles) if spec.titles else spec.title,
        audience=spec.audience,
        who=scene.text(AUDIENCES[spec.audience]),
        area=scene.named(scene.area) if spec.area else "",
        format=spec.format,
        language=scene.wording.language,
        sides=tuple(CardSide(name=name, blocks=_side(scene, blocks)) for name, blocks in _sides(spec)),
        foot=_foot(scene, draft=draft),
        code="",
        draft=draft,
        punch="" if spec.punch == "none" else spec.punch,
        smallest=float(spec.smallest or 0),
    )


def _sides(spec: CardSpec) -> tuple[tuple[str, tuple[BlockSpec, ...]], ...]:
    """Names of the sides, or panels, with what the author put on them."""
    if spec.panels:
        return tuple((f"panel {number}", blocks) for number, blocks in enumerate(spec.panels, start=1))
    return (("front", spec.front), *((("back", spec.back),) if spec.back else ()))


def _side(scene: CardContext, specs: Iterable[BlockSpec]) -> tuple[CardBlock, ...]:
    return tuple(composers()[spec.name](scene, spec) for spec in specs)


def _foot(scene: CardContext, *, draft: bool) -> Inlines:
    revision = scene.program.revision
    name = scene.text("Draft")
    if revision is not None and not draft:
        name = scene.text("Rev {number}", number=str(revision.number.value))
    until: Inlines = (Fig(CARD_VALID_UNTIL(card=scene.card.id)),)
    return scene.sentence("{name} · {day} · valid until {until}", name=name, day=(Fig(CARD_ISSUED()),), until=until)
