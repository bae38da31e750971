"""Charts on cards in Arabic: words shaped and ordered by the engine, over a picture that is not turned."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from io import BytesIO

import pytest
from pdfua import Severity, validate
from pypdf import PdfReader

from builder.pages.blocks import Axis, Mark
from builder.pages.wording import catalogue_of
from builder.render import arabic
from builder.render.boxes import sides_of
from builder.render.card_pages import CHART_LINES, card_css, card_html, language_css, page_css, second_family, side_css
from builder.render.fit import X_HEIGHT_MM, fit_faults
from builder.render.formats import card_format
from builder.render.pdf import PdfEngine
from builder.render.plot import Size, plot_of
from builder.render.svg import PAPER, captions
from tests.charts.conftest import true_chart, true_figures
from tests.render.samples import FIGURES, block, card
from tests.rendered import render_cards

FACTORS = {"toluene": Fraction("1.4"), "acetone": Fraction("1.1"), "xylene": Fraction(30)}
NAMES = {"toluene": "التولوين", "acetone": "الأسيتون", "xylene": "أورثو زيلين"}
FIGURE = {key: replace(one, text=one.text.replace("over", "فوق")) for key, one in true_figures(**FACTORS).items()}
ALL = FIGURES | FIGURE
X, Y = "تُظهر الشاشة", "الموجود فعلًا"
COMMA = "\N{ARABIC COMMA} "


@pytest.fixture(scope="module")
def engine():
    with PdfEngine() as made:
        yield made


def with_chart(form):
    chart = replace(
        true_chart(*FACTORS, names=NAMES),
        x=Axis(X, "%LEL"),
        y=Axis(Y, "%LEL"),
        marks=(Mark("limit.flammable", "القاعدة"),),
        comma=COMMA,
    )
    return replace(card("c", (block("chart", chart),), form=form), language="ar")


def laid_out(engine, form="A7", css=""):
    one, size = with_chart(form), card_format(form)
    sheets = (card_css(), *language_css(one), page_css(size.width, size.height), side_css(size), css)
    return one, engine.document(card_html(one, ALL), sheets)


def inks_of(document):
    (side,) = sides_of(document)
    return [ink for ink in side.inks if ink.block == "chart" and ink.kind == "text"]


def starting(inks, words):
    return next(ink for ink in inks if ink.text.startswith(words))


@pytest.mark.parametrize("form", ["A7", "A6"])
def test_it_fits_and_is_legible(engine, form):
    _, document = laid_out(engine, form)
    assert fit_faults(sides_of(document), [("c (ar)", "front")]) == []
    inks = inks_of(document)
    assert min(ink.x_height for ink in inks) >= X_HEIGHT_MM
    assert {ink.picture for ink in inks if arabic.has_arabic(ink.text)} == {False}


def test_the_axes_run_as_numbers_do(engine):
    inks = inks_of(laid_out(engine, "A6")[1])
    ticks = [ink for ink in inks if ink.picture]
    assert all(ink.text.isdigit() for ink in ticks)
    first, last = (next(ink for ink in reversed(ticks) if ink.text == words) for words in ("0", "10"))
    assert last.rect.left - first.rect.right > 40
    assert starting(inks, NAMES["toluene"]).rect.left > last.rect.right


def test_words_stand_where_the_picture_has_room_for_them(engine):
    """Against the plan of the chart, from which a picture in Latin letters is drawn."""
    one, document = laid_out(engine, "A6")
    form, text = card_format("A6"), round(9 * 25.4 / 72, 3)
    size = Size(width=form.panel_width - 8, height=CHART_LINES * text, text=text)
    planned = list(captions(plot_of(one.sides[0].blocks[0].blocks[0], ALL, size), PAPER))
    (side,) = sides_of(document)
    picture = next(ink.rect for ink in side.inks if ink.kind == "picture")
    checked = 0
    for cap in planned:
        if arabic.has_arabic(cap.words):
            parts = [ink for ink in inks_of(document) if ink.text.strip() and ink.text.strip() in cap.words]
            ink = next(ink for ink in parts if arabic.has_arabic(ink.text))
            left = min(part.rect.left for part in inks_of(document) if part.flow == ink.flow)
            assert ink.baseline - picture.top == pytest.approx(cap.y, abs=0.05)
            assert left - picture.left == pytest.approx(cap.x, abs=0.05)
            checked += 1
    assert checked == 6  # two titles, three gases, one rule


def test_words_and_numbers_are_read_out_of_the_pdf(engine):
    one, document = laid_out(engine, "A6")
    pages = PdfReader(BytesIO(engine.write(document, "c", "ar", second_family(one)))).pages
    text = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
    assert f"{Y}{COMMA}%LEL" in text
    assert f"{X}{COMMA.strip()}" in text
    for name in ("التولوين", "الأسيتون", "أورثو زيلين"):
        assert name in text
    assert "≥ 10 %LEL" in text
    assert "فوق 100" in text


@pytest.mark.parametrize(
    ("css", "message"),
    [
        (".drawing .over { left: 70mm !important }", "right of the safe area"),
        (".drawing .over { font-size: 1.8mm !important }", "a lower-case x is"),
        (".drawing .over { display: none }", "characters are not laid out"),
        (".drawing .over { color: #999 !important }", "contrast is"),
        (".drawing .over { top: 20mm !important; left: 0 !important }", "are printed over each other"),
        (".drawing svg { display: none }", "1 of 1 pictures are not laid out"),
    ],
)
def test_words_that_go_wrong_are_caught(engine, css, message):
    _, document = laid_out(engine, css=css)
    faults = fit_faults(sides_of(document), [("c (ar)", "front")])
    assert any(message in fault for fault in faults), faults


@pytest.mark.parametrize(
    ("word", "forms"),
    [  # Unicode Standard 16.0, section 9.2: joining groups, and the chart of Arabic Presentation Forms-B
        ("بيت", "FE91 FEF4 FE96"),
        ("دار", "FEA9 FE8D FEAD"),
        ("سلام", "FEB3 FEFC FEE1"),
        ("لا", "FEFB"),
        ("بًا", "FE91 FE8E"),
        ("ب ب", "FE8F FE8F"),
    ],
)
def test_letters_take_the_form_of_their_place(word, forms):
    assert " ".join(f"{ord(form):X}" for form in arabic.in_forms(word) if form) == forms


@pytest.mark.parametrize("weight", [400, 600])
def test_no_word_is_wider_than_was_reckoned(engine, weight):
    """Against the engine's own shaping of every short text of the catalogue, and of some with numbers and letters."""
    texts = [text for text in catalogue_of("ar").texts.values() if len(text) < 30 and "{" not in text]
    texts += [f"27\N{NO-BREAK SPACE}{text} 2028، CO 100 ppm" for text in texts[::5]]
    family = "'Handbook Sans', 'Handbook Arabic'"
    lines = "".join(f'<p style="font: {weight} 10pt {family}">{text}</p>' for text in texts)
    html = f'<section class="side" dir="rtl" data-card="w" data-side="front" style="--text: 9pt">{lines}</section>'
    sheets = (card_css(), *language_css(with_chart("A7")), "@page { size: 300mm 3000mm } p { white-space: nowrap }")
    (side,) = sides_of(engine.document(html, sheets))
    laid: dict[int, float] = {}
    for ink in side.inks:
        if ink.kind == "text":
            laid[ink.flow] = laid.get(ink.flow, 0) + ink.rect.right - ink.rect.left
    assert len(laid) == len(texts) > 80
    reckoned = [arabic.text_width(text, 10 * 25.4 / 72, weight) for text in texts]
    for text, width, most in zip(texts, laid.values(), reckoned, strict=True):
        assert width <= most * 1.001, text
    assert sum(reckoned) < 1.1 * sum(laid.values())


def test_an_independent_checker_finds_no_fault(tmp_path):
    path = tmp_path / "c.pdf"
    (made,) = render_cards([with_chart("A6")], ALL)
    path.write_bytes(made.pdf)
    assert [one.message for one in validate(str(path)).findings if one.severity >= Severity.WARNING] == []
