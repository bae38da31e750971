"""The printable sheet of a translator: every text in English beside the other language, with where it is printed."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.compositions import Card
from builder.pages.fixed_words import FIXED
from builder.pages.languages.po import Entry
from builder.pages.numbers import card_languages
from builder.pages.wording import plain
from builder.program.languages import LANGUAGES, is_right_to_left
from builder.render.card_pages import card_css, card_html, language_css, leaves, side_css
from builder.render.formats import card_format
from builder.render.templates import fill

FACE = "html { font-family: 'Handbook Sans', sans-serif } body { display: flex; gap: 4mm }"
WIDE_MM, TALL_MM = 268.0, 165.0
"""Room for a picture on a sheet of A4, lying."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPicture:
    """A card as a browser draws it, beside the texts that stand on it."""

    id: str
    html: str
    """A document of its own."""
    width: float
    """Millimetres of all its sides in a row."""
    height: float
    texts: tuple[tuple[int, str, str], ...]
    """Number in the table, English, and the same in the language."""

    @property
    def scale(self) -> float:
        """How much smaller it is drawn where a sheet has no room for it."""
        return round(min(1, WIDE_MM / self.width, TALL_MM / self.height), 3)


def card_pictures(
    cards: Iterable[Card], figures: Mapping[str, Figure], entries: Sequence[Entry], language: str
) -> Iterator[CardPicture]:
    """The cards that speak a language, each with its texts."""
    for card in cards:
        if language not in card_languages(card):
            continue
        form, file = card_format(card.format), f"cards/{card.id}.yaml"
        css = "".join((card_css(), *language_css(card), side_css(form), FACE))
        yield CardPicture(
            id=card.id,
            html=card_html(card, figures).replace("</head>", f"<style>{css}</style></head>", 1),
            width=len(leaves(card)) * (form.width + 4),
            height=form.height,
            texts=tuple(
                (number, plain(one.english), one.says)
                for number, one in enumerate(entries, start=1)
                if (f"on {card.id}" in one.told and one.english not in FIXED.values())
                or any(where.file == file for where in one.places)
            ),
        )


def translation_sheet(
    entries: Sequence[Entry], language: str, site: str, day: str, pictures: Iterable[CardPicture] = ()
) -> str:
    """One HTML file that needs nothing beside it; texts are escaped like all that comes from content."""
    return fill(
        "html/translation.html",
        entries=entries,
        pictures=tuple(pictures),
        english=[plain(entry.english) for entry in entries],
        language=LANGUAGES[language],
        dir="rtl" if is_right_to_left(language) else "ltr",
        site=site,
        day=day,
    )
