"""Every block in every language, read back from the card: nothing missing, and each number is the ledger's.

Each day another language; `make trust` takes all.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from babel import Locale
from babel.numbers import parse_decimal

from builder.base.quantity import printed_unit
from builder.pages.blocks import Fig
from builder.pages.cards.compose import compose_cards
from builder.pages.numbers import COUNTED
from builder.pages.prose import ProseContext
from builder.pages.wording import Wording
from builder.program.card_blocks import CARD_BLOCKS
from builder.render.card_pages import card_html
from tests.languages.conftest import LANGUAGES, every_card
from tests.languages.pseudo import Printed
from tests.trust.long import sample_of

PLAIN = {"\N{MINUS SIGN}": "-", "\u202f": ""}


def keys_in(node):
    """Keys of the figures that are printed as such, as often as they are printed; those of drawings are not."""
    if isinstance(node, Fig):
        yield node
    elif isinstance(node, tuple):
        for part in node:
            yield from keys_in(part)
    else:
        for name in ("content", "items", "rows", "blocks"):
            yield from keys_in(getattr(node, name, ()))


@pytest.fixture(scope="module", params=sample_of(LANGUAGES, 5))
def spoken(judged, request):
    """The language, and every block of the builder in a third of areas with audiences, composed in it."""
    thirds = list(every_card(judged.program, [request.param]))[LANGUAGES.index(request.param) % 3 :: 3]
    cards = {str(number): card for number, card in enumerate(thirds)}
    program = replace(judged.program, cards=cards)
    context = ProseContext(ledger=judged.ledger, titles=str)
    return request.param, compose_cards(program, judged.ledger, context, draft=False)


def test_every_block_is_composed_and_nothing_of_the_builder_is_missing(spoken):
    language, made = spoken
    assert {block.name for card in made.papers for side in card.sides for block in side.blocks} == {
        *CARD_BLOCKS,
        "spelled",
    }
    here = {texts.language.where for texts in made.texts}  # a line of the content's own has its place elsewhere
    missing = {text for texts in made.texts for where, text in texts.missing if where in here}
    assert missing == set(), language


def test_every_number_reads_back_as_the_ledger_has_it(spoken, judged):
    """By babel's reading of numbers, months of CLDR, and the words of the catalogue."""
    language, cards = spoken[0], spoken[1].papers
    checked = Counter()
    for card in cards:
        told = [fig for side in card.sides for fig in keys_in(side)]
        printed = Printed(card_html(card, judged.ledger.figures)).figures[: len(told)]
        assert len(printed) == len(told)
        for fig, text in zip(told, printed, strict=True):
            checked[_read_back(text, judged.ledger[fig.key], fig.bare, language)] += 1
    assert checked["number"] > 500
    assert checked["day"] > 5


def _read_back(text, figure, bare, language):
    """Check what one figure prints, and tell what kind it is."""
    assert not re.search(r"[ \n]", text), "nothing may part a number from its unit"
    if isinstance(figure.exact, date):
        assert re.findall(r"\d+", text) == [str(figure.exact.day), str(figure.exact.year)]
        assert Locale.parse(language).months["format"]["abbreviated"][figure.exact.month].strip(".") in text
        return "day"
    number, unit = text.removeprefix(figure.relation).lstrip("\u00a0"), "" if bare else printed_unit(figure.unit)
    if unit == "days":
        unit = Wording(language=language).count("day", "days", int(figure.rounded))
    if unit:
        assert number.endswith("\u00a0" + unit), (text, figure.key)
        number = number.removesuffix("\u00a0" + unit)
    if figure.interval is not None:
        count, words = figure.interval.count, COUNTED[figure.interval.unit]
        assert number == f"{count}\u00a0{Wording(language=language).count(*words, count)}"
        return "count"
    for sign, meaning in PLAIN.items():
        number = number.replace(sign, meaning)
    if figure.rounding is not None and figure.rounding.cap is not None and figure.text.startswith("over"):
        assert re.findall(r"\d+", number) == re.findall(r"\d+", figure.text)
        return "over"
    assert Fraction(parse_decimal(number, locale=language, numbering_system="latn")) == figure.rounded, figure.key
    return "number"
