"""Cards as their authors compose them: one function a block, all in one visible table."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable
from dataclasses import replace

from builder.figures.ledger import Ledger
from builder.pages.blocks import Card, CardBlock, CardSide, Fig, Inlines, Text, figures_in
from builder.pages.cards.alarms import alarm_actions, limits, not_seen, oxygen
from builder.pages.cards.gas import bump, conversions, corrections, cylinder
from builder.pages.cards.scene import Scene
from builder.pages.cards.use import before_use, contacts, hose, lone_worker, text
from builder.pages.prose import ProseContext
from builder.program.cards import BlockSpec, CardSpec
from builder.program.program import Program

COMPOSERS: dict[str, Callable[[Scene, BlockSpec], CardBlock]] = {
    "alarm-actions": alarm_actions,
    "limits": limits,
    "corrections": corrections,
    "not-seen": not_seen,
    "before-use": before_use,
    "bump": bump,
    "cylinder": cylinder,
    "hose": hose,
    "oxygen": oxygen,
    "contacts": contacts,
    "lone-worker": lone_worker,
    "conversions": conversions,
    "text": text,
}
"""Block name to the function that composes it; the names are those of ``builder.program.cards.BLOCKS``."""

CODE_SIGNS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Signs of a card code: none that is easily taken for another when read out."""
CODE_LENGTH = 5


def compose_cards(program: Program, ledger: Ledger, prose: ProseContext, *, draft: bool) -> tuple[Card, ...]:
    """Every card in every language it is written for, in the author's order."""
    return tuple(
        _card(Scene(program=program, ledger=ledger, prose=prose, card=spec), language.value, draft=draft)
        for spec in program.cards.values()
        for language in spec.languages
    )


def _card(scene: Scene, language: str, *, draft: bool) -> Card:
    spec = scene.card
    sides = [CardSide(name="front", blocks=_side(scene, spec.front))]
    if spec.back:
        sides.append(CardSide(name="back", blocks=_side(scene, spec.back)))
    card = Card(
        id=spec.id,
        title=spec.title,
        audience=spec.audience,
        area=scene.area.name if spec.area else "",
        format=spec.format,
        language=language,
        sides=tuple(sides),
        foot=(),
        code="",
        draft=draft,
    )
    foot = _foot(scene, draft=draft)
    code = card_code(scene.program.site.short.value, replace(card, foot=foot), scene.ledger)
    return replace(card, foot=foot, code=code)


def _side(scene: Scene, specs: Iterable[BlockSpec]) -> tuple[CardBlock, ...]:
    return tuple(COMPOSERS[spec.name](scene, spec) for spec in specs)


def _foot(scene: Scene, *, draft: bool) -> Inlines:
    revision = scene.program.revision
    name = "Draft" if draft or revision is None else f"Rev {revision.number.value}"
    return (Text(f"{name} · "), Fig("card.issued"), Text(" · valid until "), Fig(f"card.{scene.card.id}.valid-until"))


def card_code(short: str, card: Card, ledger: Ledger) -> str:
    """A short code of everything the card prints: another text or number gives another code.

    Five signs of thirty make a chance match of two given cards less likely than one in twenty million; the card's
    page lists the code beside its title, so a match by chance is seen.
    """
    printed = [[key, ledger[key].printed] for key in figures_in(card)]
    told = json.dumps([repr(card), printed], ensure_ascii=True).encode()
    number = int.from_bytes(hashlib.sha256(told).digest(), "big")
    signs = ""
    for _ in range(CODE_LENGTH):
        number, digit = divmod(number, len(CODE_SIGNS))
        signs += CODE_SIGNS[digit]
    return f"{short}-{signs}"


def cards_of(cards: Iterable[CardSpec], area: str) -> tuple[CardSpec, ...]:
    """Cards of one area."""
    return tuple(card for card in cards if card.area is not None and card.area.value == area)
