"""Pocket cards as HTML for the PDF engine: fixed wording, page sizes and the sides themselves."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from builder.base.errors import RenderError
from builder.figures.figure import Figure
from builder.pages.blocks import Card, CardSide, Code, Inlines, Link, Strong, Text
from builder.render.fonts import FAMILY
from builder.render.formats import CardFormat, Place, card_format
from builder.render.markup import Marker
from builder.render.templates import fill, stylesheet

BELOW_MM = 2000
"""Room the page keeps below its own edge: text that does not fit is laid out there and measured, not dropped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardWords:
    """What the builder itself says on cards and sheets, in one language."""

    draft: str
    draft_means: str
    prevail: str
    front: str
    back: str
    one_side: str
    """On sheets without backs."""
    turn_side: str
    """On sheets whose backs turn over the left or right edge."""
    turn_top: str
    """On sheets whose backs turn over the top edge."""
    gauge: str
    marks: str


WORDS: dict[str, CardWords] = {
    "en": CardWords(
        draft="DRAFT",
        draft_means="not for use",
        prevail="The instrument’s manual and local rules prevail.",
        front="front",
        back="back",
        one_side="Print at 100 %, one side.",
        turn_side="Print at 100 %, both sides, turned over the long edge (left or right).",
        turn_top="Print at 100 %, both sides, turned over the long edge (top).",
        gauge="This bar is 50 mm. If it measures otherwise, the sheet was scaled: print again at 100 %.",
        marks="Crop marks and a bar of 50 mm",
    ),
}


SENTENCE_END = re.compile(r"(?<=[.!?])\s+")


class CardMarker(Marker):
    """Decides what the card templates print: no links, and sentences kept whole."""

    def __init__(self, card: Card, figures: Mapping[str, Figure]) -> None:
        super().__init__(figures, lambda _target: "", page=f"card {card_label(card)}")

    def sentences(self, nodes: Inlines) -> tuple[str, ...]:
        """The sentences of a plain text of several, else nothing."""
        if len(nodes) != 1 or not isinstance(nodes[0], Text):
            return ()
        found = tuple(SENTENCE_END.split(nodes[0].text.strip()))
        return found if len(found) > 1 else ()


def words_for(language: str) -> CardWords:
    """The wording for a language tag such as ``en`` or ``en-GB``.

    :raises RenderError: when there is none.
    """
    base = language.partition("-")[0].lower()
    if base not in WORDS:
        raise RenderError(f"no card wording for language {language!r}; allowed: {', '.join(WORDS)}")
    return WORDS[base]


def page_css(width: float, height: float) -> str:
    """The rule for pages of one size, with hidden room below the edge."""
    return f"@page {{ size: {width}mm {height}mm; margin: 0 0 -{BELOW_MM}mm 0 }}"


def side_css(form: CardFormat) -> str:
    """The rule for sides of one format."""
    return f".side.{form.css} {{ width: {form.width}mm; height: {form.height}mm }}"


def card_css() -> str:
    """The style sheet of cards and sheets."""
    css = stylesheet("cards.css")
    if FAMILY not in css:
        raise RenderError(f"cards.css does not use {FAMILY}")
    return css


def card_html(card: Card, figures: Mapping[str, Figure]) -> str:
    """The document of one card, a page a side.

    :raises RenderError: for an unknown figure, format or language, or a block that cannot be set.
    """
    sides = [side_html(card, side, figures) for side in card.sides]
    return fill("cards/card.html", language=card.language, title=card_title(card), sides=_safe(sides))


def side_html(card: Card, side: CardSide, figures: Mapping[str, Figure], place: Place | None = None) -> str:
    """One side; ``place`` puts it on a sheet.

    :raises RenderError: as ``card_html``.
    """
    return fill(
        "cards/side.html",
        card=card,
        label=card_label(card),
        side=side,
        format=card_format(card.format),
        at=CardMarker(card, figures),
        words=words_for(card.language),
        audience=_as_title(card.audience),
        area="" if card.area.casefold() in card.title.casefold() else card.area,
        code="" if card.code in plain_text(card.foot) else card.code,
        place=place,
    )


def card_title(card: Card) -> str:
    """The title a PDF reader shows for a card."""
    draft = f" ({words_for(card.language).draft})" if card.draft else ""
    return f"{card.title}, {_as_title(card.audience)}, {card.code}{draft}"


def card_label(card: Card) -> str:
    """How faults name a card: its id, and its language where that is not English."""
    return card.id if card.language == "en" else f"{card.id} ({card.language})"


def plain_text(node: object) -> str:
    """The words of inline content, figures left out."""
    if isinstance(node, (Text, Code)):
        return node.text
    if isinstance(node, (Strong, Link)):
        return plain_text(node.content)
    if isinstance(node, tuple):
        return "".join(plain_text(part) for part in node)
    return ""


def _as_title(name: str) -> str:
    """``hot-work-watch`` as a reader sees it: ``Hot work watch``."""
    spaced = name.replace("-", " ")
    return spaced[:1].upper() + spaced[1:]


def _safe(parts: Iterable[str]) -> list[object]:
    from markupsafe import Markup  # noqa: PLC0415 - comes with jinja2, so loaded at first need

    return [Markup(part) for part in parts]  # noqa: S704 - each was rendered by a template that escapes
