"""Numbers and dates of another language have the ledger's value; marks and months are those of CLDR."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from babel import Locale

from builder.base.rounding import Direction, Rounding
from builder.pages.numbers import decimal_mark, spelled_day, spoken
from builder.pages.wording import NotingWording, Wording
from builder.program.interval import Interval
from tests.each import each
from tests.languages.conftest import LANGUAGES
from tests.render.samples import FIGURES
from tests.shared import told_figures


@each(
    ("language", "mark"), [("es", ","), ("de", ","), ("pl", ","), ("pt", ","), ("ar", ".")]
)  # CLDR numbers, symbols of the digits "latn": decimal
def test_the_decimal_mark_is_that_of_cldr(language, mark):
    assert decimal_mark(language) == mark == Locale.parse(language).number_symbols["latn"]["decimal"]


@each(
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
        if isinstance(figure.exact, date) or figure.interval is not None or figure.numeral.over:
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


@pytest.mark.parametrize(
    ("count", "unit", "said"),
    [  # CLDR plural rules of Polish: one, few for 2 to 4 and 22, many for 5; the words are those of the catalogue
        (1, "month", "1 miesiąc"), (2, "month", "2 miesiące"), (5, "month", "5 miesięcy"), (22, "year", "22 lata"),
    ],
)  # fmt: skip
def test_an_interval_is_counted_in_the_words_of_the_language_whatever_its_english_text(judged, count, unit, said):
    told = next(figure for figure in judged.ledger if figure.interval is not None)
    interval = Interval(count=count, unit=unit, text="as the author wrote it")
    one = replace(told, interval=interval, exact=Fraction(count), text="not looked at")
    assert spoken(one, Wording(language="pl")).text.replace("\u00a0", " ") == said


def test_a_number_over_its_cap_is_said_so_whatever_its_english_text():
    capped = Rounding(direction=Direction.UP, step=Fraction(1), cap=Fraction(20_000), why="a hazard")
    one = replace(FIGURES["setpoint.h2s.low"], exact=Fraction(20_001), rounding=capped, text="not looked at")
    assert spoken(one, Wording(language="de")).text == "über 20\u202f000"
    assert spoken(replace(one, exact=Fraction(20_000)), Wording(language="de")).text == "20\u202f000"


def test_the_ledger_tells_what_each_language_prints(demo):
    told = told_figures(demo.out)
    oxygen = told["setpoint.wet-well.oxygen.low"]
    assert oxygen["printed"] == "19.7\u00a0%vol"
    assert oxygen["texts"] == {"es": "19,7", "pl": "19,7", "ar": "19.7"}
    for entry in told.values():
        for text in entry.get("texts", {}).values():
            assert re.findall(r"\d+", text) == re.findall(r"\d+", entry["text"])
