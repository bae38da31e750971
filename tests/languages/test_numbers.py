"""Numbers and dates of another language have the ledger's value; marks and months are those of CLDR."""

from __future__ import annotations

import json
import re
from datetime import date
from fractions import Fraction

import pytest
from babel import Locale

from builder.pages.numbers import NUMERAL, decimal_mark, spelled_day, spoken
from builder.pages.wording import NotingWording, Wording
from tests.languages.conftest import LANGUAGES


@pytest.mark.parametrize(
    ("language", "mark"), [("es", ","), ("de", ","), ("pl", ","), ("pt", ","), ("ar", ".")]
)  # CLDR numbers, symbols of the digits "latn": decimal
def test_the_decimal_mark_is_that_of_cldr(language, mark):
    assert decimal_mark(language) == mark == Locale.parse(language).number_symbols["latn"]["decimal"]


@pytest.mark.parametrize(
    ("language", "said"),
    [  # CLDR dates, gregorian, available format yMMMd with the abbreviated months
        ("es", "25 nov 2026"),
        ("de", "25. Nov. 2026"),
        ("pl", "25 lis 2026"),
        ("pt", "25 de nov. de 2026"),
        ("ar", "25 نوفمبر 2026"),
    ],
)
def test_a_date_has_its_month_in_letters_in_the_order_of_the_language(language, said):
    text = spelled_day(date(2026, 11, 25), language)
    assert text.replace("\u00a0", " ") == said
    assert " " not in text


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_number_of_the_demo_reads_back_to_what_the_ledger_prints(judged, language):
    wording, checked = Wording(language=language), 0
    for figure in judged.ledger:
        if isinstance(figure.exact, date) or not NUMERAL.fullmatch(figure.text):
            continue
        text = spoken(figure, wording).text.replace(decimal_mark(language), ".")
        value = Fraction(text.replace("\u202f", "").replace("\N{MINUS SIGN}", "-"))
        assert value == figure.rounded, figure.key
        checked += 1
    assert checked > 500


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_figure_keeps_an_english_word(judged, language):
    wording = NotingWording(language=language)
    for figure in judged.ledger:
        spoken(figure, wording)
    assert wording.missing == {}


def test_grouping_and_sign_are_those_of_the_ledger_in_every_language(judged):
    large = next(figure for figure in judged.ledger if "\u202f" in figure.text)
    for language in LANGUAGES:
        assert spoken(large, Wording(language=language)).text.split("\u202f")[0] == large.text.split("\u202f")[0]


def test_the_ledger_tells_what_each_language_prints(demo):
    told = json.loads((demo.out / "figures.json").read_bytes())["figures"]
    oxygen = told["setpoint.wet-well.oxygen.low"]
    assert oxygen["printed"] == "19.5\u00a0%vol"
    assert oxygen["texts"] == {"es": "19,5", "pl": "19,5"}
    for entry in told.values():
        for text in entry.get("texts", {}).values():
            assert re.findall(r"\d+", text) == re.findall(r"\d+", entry["text"])
