"""A card in two languages: each side reads in its own direction, and both are one card."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader

from builder.base.where import Given
from builder.pages.cards.compose import compose_cards
from builder.pages.numbers import spelled_day
from builder.pages.prose import ProseContext
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, language_css, page_css, side_css
from builder.render.formats import card_format
from builder.render.pdf import PdfEngine
from tests.languages.conftest import HERE, block
from tests.render.samples import FIGURES, para
from tests.render.samples import block as block_of
from tests.render.samples import card as sample
from tests.rendered import render_cards

PAIRS = [("en", "ar"), ("ar", "es"), ("de", "pl")]


@pytest.fixture(scope="module", params=PAIRS, ids="-".join)
def pair(judged, request):
    """A card of the demo in a pair of languages, and its sides as HTML."""
    program = judged.program
    spec = replace(
        program.cards["carbon-dioxide-entrant"],
        languages=(),
        bilingual=tuple(Given(name, HERE, name) for name in request.param),
        front=(block(program, "oxygen"), block(program, "contacts")),
        back=(),
    )
    program = replace(program, cards={spec.id: spec})
    (card,) = compose_cards(program, judged.ledger, ProseContext(ledger=judged.ledger, titles=str), draft=False).papers
    sides = re.findall(r"<section .*?</section>", card_html(card, judged.ledger.figures), re.DOTALL)
    return request.param, card, sides


def test_each_side_says_its_language_and_direction(pair):
    languages, _, sides = pair
    assert len(sides) == 2
    for language, side in zip(languages, sides, strict=True):
        head = side[: side.index(">")]
        assert f'lang="{language}"' in head
        assert ('dir="rtl"' in head) is (language == "ar")


def test_each_side_counts_and_dates_itself_in_its_language_and_has_the_one_code(pair, judged):
    languages, card, sides = pair
    issued = judged.ledger.day("card.issued")
    for number, (language, side) in enumerate(zip(languages, sides, strict=True), start=1):
        assert f"{number}/2" in side
        assert (spelled_day(issued, language) if language != "en" else judged.ledger["card.issued"].text) in side
        assert side.count(card.code) == 1


def test_it_is_set_and_each_side_is_read_out_of_the_pdf(pair, judged):
    languages, card, _ = pair
    (made,) = render_cards([card], judged.ledger.figures)
    pages = PdfReader(BytesIO(made.pdf)).pages
    assert len(pages) == made.pages == 2
    for language, page in zip(languages, pages, strict=True):
        assert card.code in page.extract_text()
        assert ("19.7" if language in ("en", "ar") else "19,7") in page.extract_text()


def test_a_screen_reader_is_told_the_language_of_each_side(pair, judged):
    """ISO 32000-1, 14.9.2: an element of structure says the language of what it holds."""
    languages, card, _ = pair
    (made,) = render_cards([card], judged.ledger.figures)
    reader = PdfReader(BytesIO(made.pdf))
    assert told_languages(reader) == dict(enumerate(languages))


def told_languages(reader):
    """Number of a page from 0 -> the language that the outermost element on it says."""
    pages = {page.indirect_reference.idnum: number for number, page in enumerate(reader.pages)}
    top = reader.trailer["/Root"]["/StructTreeRoot"]["/K"]
    found, waiting = {}, [top]
    while waiting:
        node = waiting.pop(0).get_object()
        if isinstance(node, list):
            waiting += node
        elif "/Lang" in node and node.get("/S") == "/Sect":
            found[pages[node.raw_get("/Pg").idnum]] = node["/Lang"]
        elif isinstance(node.get("/K"), list):
            waiting += [one for one in node["/K"] if hasattr(one, "get_object") and not isinstance(one, int)]
    return found


def test_the_first_column_stands_where_its_side_begins(pair, judged):
    languages, card, _ = pair
    form = card_format(card.format)
    css = (card_css(), *language_css(card), page_css(form.width, form.height), side_css(form))
    with PdfEngine() as engine:
        laid = sides_of(engine.document(card_html(card, judged.ledger.figures), css))
    for language, side in zip(languages, laid, strict=True):
        number = next(ink for ink in side.inks if ink.decisive and ink.text.startswith("19"))
        name = min(
            (ink for ink in side.inks if ink.block == "oxygen" and ink.kind == "text" and not ink.decisive),
            key=lambda ink: abs(ink.baseline - number.baseline),
        )
        assert (name.rect.left > number.rect.right) is (language == "ar")
        assert (name.rect.right < number.rect.left) is (language != "ar")


def test_both_sides_print_the_same_numbers(pair):
    _, _, sides = pair
    decisive = [re.findall(r'data-decisive="yes"[^>]*>([^<]+)<', side) for side in sides]
    first, second = ([text.replace(",", ".") for text in texts] for texts in decisive)
    assert first == second
    assert len(first) >= 2


@pytest.mark.parametrize("form", ["A7", "ID-1", "A6", "3x5in"])
@pytest.mark.parametrize("language", ["en", "es", "de", "pl", "ar"])
def test_the_word_behind_a_draft_is_whole(language, form):
    one = replace(sample("d", (block_of("text", para("7")),), form=form), language=language, draft=True)
    size = card_format(form)
    css = (card_css(), *language_css(one), page_css(size.width, size.height), side_css(size))
    with PdfEngine() as engine:
        (side,) = sides_of(engine.document(card_html(one, FIGURES), css))
    (word,) = [ink for ink in side.inks if ink.decor and ink.kind == "text"]
    assert word.core.left > side.area.left
    assert word.core.right < side.area.right
    assert word.core.right - word.core.left > (side.area.right - side.area.left) / 2
