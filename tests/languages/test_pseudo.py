"""Nothing that cards, their sheets, log sheets and labels print is English of the code's own: see ``pseudo``.

One day drafts are looked at, the next what is released, each day with a quarter of what cards can be; `make trust`
looks at all.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from builder.base.where import Given
from builder.pages.cards.blocks.plain_blocks import STATUS
from builder.pages.cards.compose import compose_cards
from builder.pages.compositions import figures_in
from builder.pages.fixed_words import LETTERS
from builder.pages.forms import log_sheets
from builder.pages.handbook.labels import SUBSCRIPTS
from builder.pages.labels import label_pages
from builder.pages.numbers import spelled_day
from builder.pages.prose import ProseContext
from builder.pages.wording import CODE_LENGTH, CODE_SIGNS
from builder.program.cards import AUDIENCES
from builder.render.card_pages import card_html
from builder.render.formats import card_format, paper
from builder.render.forms import form_document
from builder.render.imposition import plan
from builder.render.labels import labels_html
from builder.render.sheets import sheet_card, sheets_html
from tests.languages.conftest import HERE, every_card, papers_in
from tests.languages.pseudo import SPOKEN, Printed, spoken_by_nobody, unmarked
from tests.shared import computed_with
from tests.trust.long import sample_of

SYMBOLS = {"LEL", "vol", "ppm", "mg", "m", "m³", "s", "min", "h", "L", "mm"}
"""Letters of units of the trade and of the SI (BIPM, The SI Brochure, 9th edition, 2019), which no language changes."""
ADDRESS = "https://example.org"
LANGUAGE = (Given(SPOKEN, HERE, SPOKEN),)


def cards_of(program, quarter):
    """Every block of the builder in a quarter of areas with audiences, then every card of the demo, in one language."""
    every = enumerate(every_card(program, [SPOKEN]))  # area by area, so that each has others than the one before
    made = {str(number): card for number, card in every if (number + number // len(AUDIENCES)) % 4 == quarter}
    return made | {name: replace(card, languages=LANGUAGE, bilingual=()) for name, card in program.cards.items()}


@pytest.fixture(scope="module", params=sample_of(range(4), 4))
def composed(judged, request):
    """Cards of a published site as drafts, or of one that is not published as they are released."""
    draft = request.param % 2 == 0
    program = judged.program
    site = replace(program.site, published_at=Given(ADDRESS, HERE, ADDRESS) if draft else None)
    said = {language: own for language, own in program.translations.items() if language != SPOKEN}
    program = replace(program, site=site, cards=cards_of(program, request.param), translations=said)
    with spoken_by_nobody():
        yield compose_cards(program, judged.ledger, ProseContext(ledger=judged.ledger, titles=str), draft=draft).papers


@pytest.fixture(scope="module")
def printed(composed, judged):
    """Each card with the words of its document."""
    found = []
    for card in composed:
        html = card_html(card, judged.ledger.figures)
        html = re.sub(rf"{re.escape(ADDRESS)}/areas/[\w-]+\.html", "", html)  # the address of an area's page is no word
        found.append((card, Printed(html.replace(f"{ADDRESS}/{STATUS}{card.code}", "").replace(card.code, ""))))
    return found


@pytest.fixture
def known(judged):
    """What stands outside marks in every language: symbols of units, letters of roles, and formulas of gases."""
    formulas = {gas.entry.formula.translate(SUBSCRIPTS) for gas in judged.program.gases.values()}
    return SYMBOLS | {*LETTERS.values()} | {word for formula in formulas for word in unmarked(formula)}


def test_every_word_of_a_card_was_looked_up_or_is_of_the_content(printed, known):
    found = {}
    for card, html in printed:
        for word in unmarked("\n".join(html.words)):
            found.setdefault(word, card.name)
    assert {word: card for word, card in found.items() if word not in known} == {}


def test_every_word_of_a_figure_was_looked_up_or_is_of_a_date(printed, judged, known):
    """A figure prints digits, a symbol of a unit, words of the catalogue, or a day as babel writes it."""
    months = months_in([judged.ledger[key] for card, _ in printed for key in figures_in(card)])
    assert months
    found = {}
    for card, html in printed:
        for figure in html.figures:
            for word in unmarked(figure):
                found.setdefault(word, card.name)
    assert {word: card for word, card in found.items() if word not in known | months} == {}


@pytest.mark.parametrize("duplex", [True, False])
def test_every_word_of_a_sheet_was_looked_up_or_is_of_the_content(composed, known, duplex):
    one = next(card for card in composed if card.format == "A7" and len(card.sides) > 1)
    cards = [one if duplex else replace(one, sides=one.sides[:1])]
    sheet = plan(card_format("A7"), paper("A4"))
    html = sheets_html("A7", list(map(sheet_card, cards)), sheet, "A7 × A4")
    words = Printed(html.replace(one.code, "").replace(one.name, "")).words
    assert len([word for word in words if word.strip()]) >= (5 if duplex else 3)
    assert [word for word in unmarked("\n".join(words)) if word not in known | {SPOKEN, "A", "×"}] == []


def test_a_text_of_the_code_s_own_is_found():
    """The marks, and those who look for what is outside of them, told apart from a check that cannot fail."""
    html = '<p title="Up">⟦Wait ⟨at ⟦the⟧ sill⟩⟧ <span class="fig">5 s <b>long</b></span> Stop ⟦{x}⟧</p>'
    printed = Printed(html)
    assert unmarked(" ".join(printed.words)) == ["Up", "Stop"]
    assert printed.figures == ["5 s long"]


def ids_in(program):
    """Ids and serial numbers, which no language changes."""
    told = [*program.cylinders, *(text for unit in program.units.values() for text in (unit.id, unit.serial.value))]
    return {word for text in told for word in unmarked(f"{text} {text.upper()}")}


def places_in(program):
    """Where units are kept, as the content says, and the addresses behind square codes."""
    site = program.site.published_at
    told = [*program.areas, *(unit.pool.value for unit in program.units.values() if unit.pool)]
    told += [site.value if site else "", "units/ areas/ cylinders/ .html"]
    return {word for text in told for word in unmarked(text)}


def months_in(ledger):
    """Months of its days, as babel writes them."""
    days = {figure.exact for figure in ledger if isinstance(figure.exact, date)}
    return {word for day in days for word in unmarked(spelled_day(day, SPOKEN))}


@pytest.mark.parametrize(
    ("kind", "draft"), sample_of((("labels", True), ("labels", False), ("log sheets", False), ("log sheets", True)), 2)
)
def test_every_word_of_a_paper_was_looked_up_or_is_of_the_content(judged, known, kind, draft):
    program, figures = papers_in(SPOKEN, judged.program), judged.ledger.figures
    with spoken_by_nobody():
        if kind == "labels":
            made = label_pages(computed_with(program, judged.ledger), draft=draft).papers
            papers = [(pages.grid.id, labels_html(pages, figures)) for pages in made]
        else:
            sheets = log_sheets(computed_with(program, judged.ledger), draft=draft).papers
            papers = [(form.id, form_document(form, figures).html) for form in sheets]
    assert papers
    found = {}
    for name, html in papers:
        words = "\n".join(Printed(html).words).replace(program.site.name.value, "")
        words = re.sub(rf"\b{program.site.short.value}-[{CODE_SIGNS}]{{{CODE_LENGTH}}}\b", "", words)
        assert "⟦" in words
        for word in unmarked(words):
            found.setdefault(word, name)
    own = known | ids_in(program) | places_in(program)
    if kind == "labels":  # whose figures are not marked as such
        own |= months_in(judged.ledger)
    assert {word: name for word, name in found.items() if word not in own} == {}
