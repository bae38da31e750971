"""Pocket cards as HTML for the PDF engine: fixed wording, page sizes and the sides themselves."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import partial
from math import ceil

from builder.base.errors import RenderError
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.blocks import Chart, Code, Link, Qr, Strong, Text
from builder.pages.compositions import Card, CardSide
from builder.pages.fixed_words import FIXED, LETTERS, fixed_words
from builder.pages.numbers import card_languages, decimal_mark, spoken_figures
from builder.pages.wording import Wording
from builder.program.languages import LANGUAGES, is_right_to_left
from builder.render import arabic
from builder.render.direction import isolated_html
from builder.render.fit import IN_HAND, from_metres
from builder.render.fonts import FAMILY, text_width
from builder.render.formats import CardFormat, SheetPlace, TypeSizes, card_format
from builder.render.markup import Marker
from builder.render.no_break import kept_together, last_words_bound
from builder.render.plot import Size
from builder.render.qr import QrMark, qr_mark
from builder.render.shapes import MM_A_PT
from builder.render.svg import PAPER, chart_over, chart_svg
from builder.render.templates import fill, stylesheet

BELOW_MM = 2000
"""Room the page keeps below its own edge: text that does not fit is laid out there and measured, not dropped."""


CHART_LINES = 13
"""Height of the room between the axes of a chart on a card, in type sizes."""
SIGN_QR = 0.82
"""How much larger a square code is on a sign, a metre that it is read from: a telephone is not held close to it."""
TYPE_RTL_PT = 9.0
"""Least size of running text in the hand that is read from right to left: see ``builder.render.arabic``."""


class CardMarker(Marker):
    """Decides what the card templates print: no links, and sentences kept whole."""

    def __init__(self, card: Card, types: TypeSizes, figures: Mapping[str, Figure], prefix: str = "") -> None:
        super().__init__(
            spoken_figures(figures, card.language),
            lambda _target: "",
            page=f"card {card_label(card)}",
            prefix=prefix,
            paper=True,
            language=card.language,
        )
        self._card = card
        self._types = types
        self.right_to_left = is_right_to_left(card.language)
        self.kept = partial(kept_together, turned=self.right_to_left)

    def direction(self, text: str) -> str:
        """Which way a figure is read inside text from right to left; empty elsewhere, where nothing has to be said."""
        if not self.right_to_left:
            return ""
        return "rtl" if arabic.has_arabic(text) else "ltr"

    def drawn(self, node: Chart, name: str) -> str:
        """A chart as wide as the card has room, in the type of its running text."""
        form, text = card_format(self._card.format), self._types.text * MM_A_PT
        size = Size(width=form.panel_width - 2 * form.margin, height=CHART_LINES * text, text=round(text, 3))
        look = replace(PAPER, decimal=decimal_mark(self._card.language))
        draw = chart_over if self.right_to_left else chart_svg
        return draw(node, self._figures, size, look, name)

    bound = staticmethod(last_words_bound)

    def qr(self, node: Qr) -> QrMark:
        """The square code of the card, or of the address that a sign leads to."""
        mark = qr_mark(node.address or node.before + self._card.code)
        away = card_format(self._card.format).read_from
        return replace(mark, size=round(SIGN_QR * away * mark.size, 2)) if away else mark

    def code(self, node: Qr) -> str:
        """The card's code, to be read by people; nothing under a square code that leads elsewhere."""
        return "" if node.address else self._card.code


def words_for(language: str) -> dict[str, str]:
    """``FIXED`` for a language tag such as ``en`` or ``en-GB``.

    :raises RenderError: when there is none.
    """
    base = language.partition("-")[0].lower()
    if base not in LANGUAGES:
        raise RenderError(f"no card wording for language {language!r}; allowed: {', '.join(LANGUAGES)}")
    return fixed_words(FIXED, Wording(language=base))


def page_css(width: float, height: float) -> str:
    """The rule for pages of one size, with hidden room below the edge."""
    return f"@page {{ size: {width}mm {height}mm; margin: 0 0 -{BELOW_MM}mm 0 }}"


def side_css(form: CardFormat) -> str:
    """The rule for sides, or panels, of one format."""
    return (
        f".side.{form.css} {{ width: {form.panel_width}mm; height: {form.panel_height}mm }}"
        f" .leaf {{ width: {form.width}mm; height: {form.height}mm }}"
    )


def card_css() -> str:
    """The style sheet of cards and sheets."""
    css = stylesheet("cards.css")
    if FAMILY not in css:
        raise RenderError(f"cards.css does not use {FAMILY}")
    return css


def language_css(card: Card) -> tuple[str, ...]:
    """More style sheets for a card with a side that is read from right to left; none for others."""
    return turned_css(_turned_language(card), "cards-rtl.css")


def turned_family(language: str) -> str:
    """The family of type that a language needs beside the usual one, else nothing."""
    return arabic.FAMILY if is_right_to_left(language) else ""


def turned_css(language: str, name: str) -> tuple[str, ...]:
    """The same for labels and log sheets, each with a style sheet of its own."""
    return (arabic.face_css(), stylesheet(name)) if is_right_to_left(language) else ()


def second_family(card: Card) -> str:
    """The family of type that such a card uses beside the usual one, else nothing."""
    return turned_family(_turned_language(card))


def _turned_language(card: Card) -> str:
    return next(filter(is_right_to_left, card_languages(card)), card.language)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """One printed side of a card: the whole of it, or the panels that lie on it and where."""

    number: int
    parts: tuple[tuple[CardSide, SheetPlace], ...]


def leaves(card: Card) -> tuple[Leaf, ...]:
    """The printed sides of a card.

    :raises RenderError: when it has more sides, or panels, than its format.
    """
    form = card_format(card.format)
    sheets = (form.front, form.back)
    if len(card.sides) > sum(len(numbers) for numbers in sheets):
        raise RenderError(f"card {card_label(card)}: {len(card.sides)} sides or panels on format {form.name}")
    found = (
        tuple((card.sides[n - 1], form.panel_at(at)) for at, n in enumerate(numbers) if n <= len(card.sides))
        for numbers in sheets
    )
    return tuple(Leaf(number=n, parts=parts) for n, parts in enumerate(found, start=1) if parts)


def type_sizes(card: Card) -> TypeSizes:
    """Sizes of type on a card: those it was found to fit in, before that the least that it is set in unasked."""
    form = card_format(card.format)
    points = card.type_pt or form.least_unasked
    sizes = next(sizes for sizes in form.ladder if sizes.text == points)
    if not is_right_to_left(card.language):
        return sizes
    nearer = IN_HAND.x_height / from_metres(form.read_from).x_height
    return replace(sizes, text=max(sizes.text, ceil(10 * TYPE_RTL_PT / nearer) / 10))


def draft_share(word: str) -> float:
    """How much smaller than the English one the word behind a draft is set, so that a longer one is not cut off.

    >>> draft_share("DRAFT"), draft_share("ENTWURF") < 0.7
    (1.0, True)
    """
    if arabic.has_arabic(word):  # set in another face
        return 1.0
    return min(1.0, round(text_width(FIXED["draft"], 1, 700) / text_width(word, 1, 700), 2))


def card_html(card: Card, figures: Mapping[str, Figure]) -> str:
    """The document of one card, a page a printed side.

    :raises RenderError: for an unknown figure, format or language, or a block that cannot be set.
    """
    folded = card_format(card.format).folded
    pages = [
        _safe(side_html(card, side, figures, at if folded else None) for side, at in leaf.parts)
        for leaf in leaves(card)
    ]
    return fill("cards/card.html", language=card.language, title=card_title(card), pages=pages, folded=folded)


def side_html(card: Card, side: CardSide, figures: Mapping[str, Figure], place: SheetPlace | None = None) -> str:
    """One side or panel; ``place`` says where a panel lies on a folded card.

    :raises RenderError: as ``card_html``.
    """
    form = card_format(card.format)
    number, label = card.sides.index(side) + 1, card_label(card)
    card = card.faced(side)
    words, types = words_for(card.language), type_sizes(card)
    html = fill(
        "cards/side.html",
        card=card,
        label=label,
        side=side,
        format=form,
        at=CardMarker(card, types, figures, f"{number}-"),
        words=words,
        audience=card.who or _as_title(card.audience),
        area="" if card.area.casefold() in card.title.casefold() else card.area,
        code="" if card.code in plain_text(card.foot) else card.code,
        place=place,
        types=types,
        share=draft_share(words["draft"]) if card.draft else 1,
        count=f"{number}/{len(card.sides)}",
        number=number,
        invented=words["invented"] if card.invented else "",
        letter=LETTERS[card.audience],
        opens=not form.folded or number == 1,
        first=not form.folded or number in (1, min(form.back)),
        folds=_folds(form, number),
        punch=_punch(card.punch, number),
    )
    return isolated_html(html) if is_right_to_left(card.language) else html


def _folds(form: CardFormat, number: int) -> tuple[str, ...]:
    """Edges of a panel at which the card is folded, those alone that the panel before it has not drawn."""
    numbers = form.front if number in form.front else form.back
    row, column = divmod(numbers.index(number), form.across) if form.folded else (0, 0)
    return tuple(name for name, at in (("left", column), ("top", row)) if at)


def _punch(where: str, number: int) -> str:
    """Where the hole of the front is on a side: seen from behind, left is right."""
    return "top-right" if where == "top-left" and number > 1 else where


def card_title(card: Card) -> str:
    """The title a PDF reader shows for a card."""
    draft = f" ({words_for(card.language)['draft']})" if card.draft else ""
    return f"{card.title}, {card.who or _as_title(card.audience)}, {card.code}{draft}"


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
    return name[:1].upper() + name[1:].replace("-", " ")


def _safe(parts: Iterable[str]) -> list[object]:
    from markupsafe import Markup  # noqa: PLC0415 - comes with jinja2, so loaded at first need

    return [Markup(part) for part in parts]  # noqa: S704 - each was rendered by a template that escapes
