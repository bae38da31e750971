"""A chart on a card: its words are measured like all others, wherever they end up."""

from __future__ import annotations

import re
import subprocess
from fractions import Fraction

import pytest

from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, page_css, side_css
from builder.render.fit import X_HEIGHT_MM, fit_faults
from builder.render.formats import card_format
from builder.render.pdf import PdfEngine
from tests.charts.conftest import true_chart, true_figures
from tests.render.samples import FIGURES, block, card

FACTORS = {"toluene": Fraction("1.4"), "xylene": Fraction("1.6"), "acetone": Fraction("1.1")}
ALL = FIGURES | true_figures(**FACTORS)
FORMS = ["A7", "ID-1", "A6"]


@pytest.fixture(scope="module")
def engine():
    with PdfEngine() as made:
        yield made


def with_chart(form="A7"):
    gases = tuple(FACTORS)[:2] if form == "ID-1" else tuple(FACTORS)
    return card("c", (block("chart", true_chart(*gases)),), form=form)


def laid_out(engine, form="A7", css="", change=lambda html: html):
    one = with_chart(form)
    size = card_format(form)
    sheets = (card_css(), page_css(size.width, size.height), side_css(size), css)
    return one, engine.document(change(card_html(one, ALL)), sheets)


def faults_of(engine, *args, **named):
    one, document = laid_out(engine, *args, **named)
    return fit_faults(sides_of(document), [(one.id, side.name) for side in one.sides])


def words_of(document):
    (side,) = sides_of(document)
    return [ink for ink in side.inks if ink.picture]


@pytest.mark.parametrize("form", ["A7", "A6"])
def test_a_chart_fits_and_its_words_are_large_enough(engine, form):
    assert faults_of(engine, form) == []
    words = words_of(laid_out(engine, form)[1])
    assert {"Display shows, %LEL", "Really there, %LEL", "toluene", "xylene", "acetone"} <= {ink.text for ink in words}
    assert min(ink.x_height for ink in words) >= X_HEIGHT_MM


def test_a_chart_that_does_not_fit_its_card_is_told_with_millimetres(engine):
    faults = faults_of(engine, "ID-1")
    assert any(re.search(r"block chart: \d+\.\d mm below the safe area", fault) for fault in faults), faults


def test_words_lie_where_the_printed_page_has_them(engine, tmp_path):
    """Against another reader of the PDF: width and place of words as poppler finds them."""
    _, document = laid_out(engine)
    path = tmp_path / "c.pdf"
    path.write_bytes(engine.write(document, "c", "en"))
    found = subprocess.run(["pdftotext", "-bbox", path, "-"], capture_output=True, text=True, check=True).stdout
    mm = 25.4 / 72
    boxes = {
        word: (float(left) * mm, float(right) * mm)
        for left, right, word in re.findall(
            r'xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)" yMax="[\d.]+">(\w+)<', found
        )
    }
    for ink in words_of(document):
        if ink.text in FACTORS:
            assert boxes[ink.text] == pytest.approx((ink.rect.left, ink.rect.right), abs=0.1)


@pytest.mark.parametrize(
    ("css", "message"),
    [
        (".chart svg { width: 40mm !important; height: auto !important }", "a lower-case x is"),
        (".chart { transform: scale(0.7) }", "a lower-case x is"),
        (".chart svg { width: 90mm !important; height: auto !important }", "right of the safe area"),
        (".chart svg { display: none }", "1 of 1 pictures are not laid out"),
        (".chart { visibility: hidden }", "hidden by its style"),
    ],
)
def test_a_chart_spoilt_by_its_style_is_caught(engine, css, message):
    faults = faults_of(engine, css=css)
    assert any(f"front, block chart: {message}" in fault or message in fault for fault in faults), faults


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (r'<text class="label" x="[\d.]+"', '<text class="label" x="60"', "right of its picture"),
        (r'(<text class="y-title" x="0") y="[\d.]+"', r'\1 y="-3"', "above its picture"),
        (r'(<text class="x-title"[^>]*) fill="#111"', r'\1 fill="#999"', "contrast is"),
        (r'(<text class="x-title"[^>]*) fill="#111"', r'\1 fill="teal"', "contrast is"),
        (r'(<text class="x-title"[^>]*) font-size="[\d.]+"', r'\1 font-size="1.5"', "a lower-case x is"),
        (r'(<text class="x-title"[^>]*) font-size="[\d.]+"', r"\1", "a lower-case x is"),
        (r'<text class="x-title"', '<text class="x-title" transform="scale(0.5)"', "a lower-case x is"),
        (r'(<text class="label" x="[\d.]+") y="[\d.]+"', r'\1 y="20"', "are printed over each other"),
    ],
)
def test_words_of_a_picture_that_go_wrong_are_caught(engine, old, new, message):
    def change(html: str) -> str:
        changed = re.sub(old, new, html)
        assert changed != html
        return changed

    faults = faults_of(engine, change=change)
    assert any(message in fault for fault in faults), faults


def test_words_of_a_picture_cannot_stand_in_for_lost_words_of_the_card(engine):
    lost = faults_of(engine, css=".who { display: none }")
    assert any("characters are not laid out" in fault for fault in lost), lost


def test_a_demo_card_has_a_chart_whose_words_are_large_enough(demo):
    path = demo.out / "cards" / "coatings-readings.pdf"
    text = subprocess.run(["pdftotext", path, "-"], capture_output=True, text=True, check=True).stdout
    assert "Display shows, %LEL" in text
    fonts = subprocess.run(["pdffonts", path], capture_output=True, text=True, check=True).stdout
    assert len(fonts.splitlines()) > 2
    assert all("Handbook-Sans" in line for line in fonts.splitlines()[2:])
