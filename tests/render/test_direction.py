"""Numbers to call, and numbers with units, inside Arabic: in the order they are read in, also out of the PDF."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader

from builder.pages.blocks import Table
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, language_css, page_css, side_css
from builder.render.direction import END, ISOLATE, isolated_html, isolated_text
from builder.render.formats import card_format
from builder.render.pdf import PdfEngine
from tests.render.samples import FIGURES, block, card, para, words
from tests.rendered import render_cards

CALLED = "+44 20 7946 0018"  # Ofcom keeps 020 7946 0xxx for drama: it is nobody's
ROOM = "غرفة التحكم"


def arabic_card():
    rows = ((words("طوارئ"), words(CALLED)), (words("إنقاذ"), words(f"{ROOM}، {CALLED}")))
    calls = Table(columns=("", ""), kind="facts", rows=rows)
    text = para("لا حركة 60 s ثم تحذير، تحت 19.5 %vol من الأكسجين. القناة 3-B.")
    one = card("c", (block("contacts", calls), block("text", text)))
    return replace(one, language="ar", foot=())


def test_groups_of_a_number_are_read_out_of_the_pdf_in_their_order():
    (made,) = render_cards([arabic_card()], FIGURES)
    text = re.sub(r"\s+", " ", PdfReader(BytesIO(made.pdf)).pages[0].extract_text())
    assert text.count(CALLED) == 2
    for part in ("60 s", "19.5 %vol", "3-B", ROOM):
        assert part in text


def test_groups_of_a_number_stand_in_their_order_on_the_card():
    """Without isolates the engine prints them in reverse: what this is there to prevent."""
    form = card_format("A7")
    one = arabic_card()
    css = (card_css(), *language_css(one), page_css(form.width, form.height), side_css(form))
    with PdfEngine() as engine:
        (side,) = sides_of(engine.document(card_html(one, FIGURES), css))
        broken = card_html(one, FIGURES).replace(ISOLATE, "").replace(END, "")
        data = engine.write(engine.document(broken, css), "c", "ar", "Handbook Arabic")
    assert any(f"{ISOLATE}{CALLED}{END}" in ink.text for ink in side.inks)
    assert "0018 7946 20 44" in PdfReader(BytesIO(data)).pages[0].extract_text()


def test_sentences_in_english_on_a_card_in_arabic_keep_their_order():
    """UAX #9: boxes beside each other follow the direction of the card, so two of them would change places."""
    orders = Table(columns=("", ""), kind="actions", rows=((words("Out now. Stay out."), words("H2S")),))
    form = card_format("A7")
    one = replace(arabic_card(), sides=card("c", (block("alarm-actions", orders),)).sides)
    css = (card_css(), *language_css(one), page_css(form.width, form.height), side_css(form))
    with PdfEngine() as engine:
        (side,) = sides_of(engine.document(card_html(one, FIGURES), css))
    [said] = [ink for ink in side.inks if "now" in ink.text]
    assert "Out now. Stay\N{NO-BREAK SPACE}out" in said.text


@pytest.mark.parametrize(
    ("text", "runs"),
    [
        (CALLED, [CALLED]),
        (f"{ROOM}، {CALLED}", [CALLED]),
        ("تحت 5 %LEL و 19.5 %vol.", ["5 %LEL", "19.5 %vol"]),
        ("≥ 10 ppm من CO₂", ["≥ 10 ppm", "CO₂"]),
        ("الخط 4400", []),
        ("غاز ppm", []),
        ("الأسطوانة C-101", ["C-101"]),
        ("(030) 12 34 هاتف", ["(030) 12 34"]),
        ("لا شيء", []),
    ],
)
def test_every_run_of_more_than_a_word_or_number_is_held_together(text, runs):
    made = isolated_text(text)
    assert re.findall(f"{ISOLATE}(.*?){END}", made) == runs
    assert made.replace(ISOLATE, "").replace(END, "") == text


def test_pictures_and_what_is_in_order_already_are_left_as_they_are():
    html = '<td>غ &lt; 5 %LEL &amp; <b dir="ltr">5 s</b></td><svg><text>15 000</text></svg><b class="ltr">A-1</b>'
    made = isolated_html(html)
    assert made == html.replace("&lt; 5 %LEL", f"{ISOLATE}&lt; 5 %LEL{END}")


def test_text_from_left_to_right_has_no_isolates():
    one = replace(arabic_card(), language="en")
    assert ISOLATE not in card_html(one, FIGURES)
