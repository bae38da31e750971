"""A card of the demo with every block there is, as the blocks' declarations show them, in every language."""

from __future__ import annotations

import yaml

from builder.program.card_blocks import CARD_BLOCKS
from builder.program.languages import LANGUAGES

ELSEWHERE = "ابق في الخارج."
"""What an author writes in a language that is read from right to left; the others are attacked with English words."""
CARD = "every-block"
FREE = ("title", "body", "steps")
"""Keys of a block whose texts its author writes in every language."""


def in_every_language(text):
    return {tag: ELSEWHERE if language.right_to_left else text for tag, language in LANGUAGES.items()}


def entry(kind):
    """A block as its declaration shows it, its author's texts in every language."""
    made = yaml.load(kind.example, Loader=yaml.CSafeLoader)
    for key in made.keys() & {*FREE}:
        texts = made[key]
        made[key] = [in_every_language(text) for text in texts] if isinstance(texts, list) else in_every_language(texts)
    return made


def card_of(kinds=(), **head):
    """The card with some kinds of block, or all, as its author writes it."""
    usual = {"area": "coatings-shop", "model": "two-pumped", "languages": list(LANGUAGES)}
    named = {"id": CARD, "title": in_every_language("Attack"), "audience": "tester", "format": "A6"}
    return {**named, **(usual | head), "front": [entry(kind) for kind in kinds or CARD_BLOCKS.values()]}


def written(card) -> tuple[str, str, str]:
    """The file of a card, as a change of the demo's content."""
    made = {key: value for key, value in card.items() if value is not None}
    return f"cards/{CARD}.yaml", "", yaml.safe_dump(made, allow_unicode=True)
