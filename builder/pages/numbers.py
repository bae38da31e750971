"""Numbers and dates as a language writes them. The value is the ledger's: only its marks and words change.

The decimal mark, month names and the order of a date are those of CLDR, by way of babel. Grouping, the minus sign, the
space before a unit and the digits 0 to 9 are those of the ledger in every language, as ISO 80000-1 has them: a card
that printed 15.000 in one language and 15,000 in another would be read wrongly by whoever knows the other. Symbols of
units are those of the display.
"""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from functools import cache, partial

from builder.figures.figure import NO_BREAK_SPACE, Figure
from builder.pages.compositions import Card, figures_in
from builder.pages.wording import Wording
from builder.program.interval import EACH_DAY, Interval
from builder.program.languages import ENGLISH

COUNTED = {
    "day": ("day", "days"),
    "week": ("week", "weeks"),
    "month": ("month", "months"),
    "year": ("year", "years"),
    "working-day": ("working day", "working days"),
    "day-of-use": ("day of use", "days of use"),
}
"""Unit of an interval -> the words that it is counted in: one, and several."""
OVER = "over {number}"


class FiguresMadeOf(Mapping[str, Figure]):
    """Figures made of others, each when it is asked for."""

    def __init__(self, figures: Mapping[str, Figure], make: Callable[[Figure], Figure]) -> None:
        self._figures = figures
        self._make = make
        self._made: dict[str, Figure] = {}

    def __getitem__(self, key: str) -> Figure:
        if key not in self._made:
            self._made[key] = self._make(self._figures[key])
        return self._made[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._figures)

    def __len__(self) -> int:
        return len(self._figures)


def spoken_figures(figures: Mapping[str, Figure], language: str) -> Mapping[str, Figure]:
    """The same figures with their texts in a language."""
    return (
        figures if language == ENGLISH else FiguresMadeOf(figures, partial(spoken, wording=Wording(language=language)))
    )


def spoken(figure: Figure, wording: Wording) -> Figure:
    """A figure with its text, and a unit that is a word, in a language; nothing else of it changes."""
    if wording.language == ENGLISH:
        return figure
    if isinstance(figure.exact, date):
        return replace(figure, text=spelled_day(figure.exact, wording.language))
    if figure.interval is not None:
        return replace(figure, text=_spelled_interval(figure.interval, wording))
    one, many = COUNTED["day"]
    unit = wording.count(one, many, math.ceil(abs(figure.rounded))) if figure.unit == many else figure.unit
    digits = figure.numeral.digits.replace(".", decimal_mark(wording.language))
    return replace(figure, text=wording.text(OVER, number=digits) if figure.numeral.over else digits, unit=unit)


def _spelled_interval(interval: Interval, wording: Wording) -> str:
    if interval.each_day_of_use:
        return wording.text(EACH_DAY)
    return f"{interval.count}{NO_BREAK_SPACE}{wording.count(*COUNTED[interval.unit], interval.count)}"


@cache
def decimal_mark(language: str) -> str:
    """What parts whole and decimals.

    >>> decimal_mark("de"), decimal_mark("en")
    (',', '.')
    """
    from babel.numbers import get_decimal_symbol  # noqa: PLC0415 - loaded for other languages than English alone

    return get_decimal_symbol(language, numbering_system="latn")


@cache
def spelled_day(day: date, language: str) -> str:
    """A date no reader can turn round, its month in letters, in the order of the language.

    >>> spelled_day(date(2026, 11, 25), "de").replace(NO_BREAK_SPACE, " ")
    '25. Nov. 2026'
    """
    from babel.dates import format_skeleton  # noqa: PLC0415 - loaded for other languages than English alone

    return NO_BREAK_SPACE.join(format_skeleton("yMMMd", day, locale=language).split())


def card_languages(card: Card) -> tuple[str, ...]:
    """The languages printed on a card, each once."""
    return tuple(dict.fromkeys(card.faced(side).language for side in card.sides))


def texts_on(
    cards: Iterable[Card], figures: Mapping[str, Figure], papers: Iterable[tuple[str, Iterable[str]]] = ()
) -> dict[str, dict[str, str]]:
    """For each figure that is printed in another language than English, its text by language, without unit.

    :param papers: language and figures of each log sheet and sheet of labels.
    """
    made: dict[str, dict[str, str]] = {}
    of_cards = ((language, figures_in(card)) for card in cards for language in card_languages(card))
    for language, keys in (*of_cards, *papers):
        if language != ENGLISH:
            local = spoken_figures(figures, language)
            for key in keys:
                made.setdefault(key, {})[language] = local[key].text
    return made
