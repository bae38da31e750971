"""Catalogues hold what the composer asks for and nothing else, with places and plurals as they must be."""

from __future__ import annotations

import re
from dataclasses import fields

import pytest
from babel import Locale
from babel.messages.pofile import read_po

from builder.pages.fixed_words import FIXED
from builder.pages.wording import Wording, WordingError, catalogue_of, catalogue_path
from builder.render.card_pages import CardWords, words_for
from tests.languages.conftest import LANGUAGES

PLACE = re.compile(r"\{[a-z_]+\}")
RARE = {"no value", "over {number}", "each day of use"}
"""Said of a value that is absent, beyond its cap, or no number: figures that no block of the demo prints today."""


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_text_asked_for_has_a_translation(asked, language):
    found = catalogue_of(language)
    assert [text for text in (*asked, *RARE) if text not in found.texts and text not in found.plurals] == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_text_is_stale(asked, language):
    found = catalogue_of(language)
    assert sorted({*found.texts, *found.plurals} - {*asked, *RARE}) == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_places_are_those_of_the_english_text(language):
    for text, said in catalogue_of(language).texts.items():
        assert sorted(PLACE.findall(text)) == sorted(PLACE.findall(said)), said


@pytest.mark.parametrize("language", LANGUAGES)
def test_numbers_in_texts_are_those_of_the_english_text(language):
    for text, said in catalogue_of(language).texts.items():
        assert re.findall(r"\d+", text) == re.findall(r"\d+", said), said


@pytest.mark.parametrize("language", LANGUAGES)
def test_plurals_part_numbers_as_cldr_does(language):
    form, rule = catalogue_of(language).form, Locale.parse(language).plural_form
    pairs = {(form(number), rule(number)) for number in range(1000)}
    assert len(pairs) == len({index for index, _ in pairs}) == len({name for _, name in pairs})
    assert all(len(forms) == len(pairs) for forms in catalogue_of(language).plurals.values())


@pytest.mark.parametrize(
    ("language", "number", "said"),
    [
        ("pl", 1, "dzień"),
        ("pl", 22, "dni"),
        ("de", 2, "Tage"),
        ("es", 1, "día"),
        ("ar", 3, "أيام"),
        ("ar", 11, "يومًا"),
    ],
)
def test_a_word_goes_with_its_number(language, number, said):
    assert Wording(language=language).count("day", "days", number) == said


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_catalogue_says_that_nobody_reviewed_it(language):
    with catalogue_path(language).open("rb") as file:
        head = read_po(file, locale=language).header_comment
    assert "UNREVIEWED" in head
    assert "translations-checked" in head


def test_fixed_words_are_those_the_renderer_prints():
    assert set(FIXED) == {field.name for field in fields(CardWords)}
    assert words_for("de").draft == "ENTWURF"


def test_a_text_without_translation_is_said_in_english_and_noted():
    wording = Wording(language="de")
    assert wording.say("A text of nobody, {name}.", name="x") == "A text of nobody, x."
    assert list(wording.missing) == ["A text of nobody, {name}."]


def test_a_language_without_catalogue_is_refused():
    with pytest.raises(WordingError, match="no texts in language 'fr'; allowed: en, es, de, pl, pt, ar"):
        catalogue_path("fr")
