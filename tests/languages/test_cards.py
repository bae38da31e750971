"""Cards of the demo in other languages: files, marks, fit, and what two readers get out of the PDF."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from io import BytesIO

import pytest
from pdfua import Severity, validate
from pypdf import PdfReader

from builder.base.errors import RenderError
from builder.pages.compositions import CardSide
from builder.pages.numbers import spelled_day
from builder.render import arabic
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, language_css, page_css, side_css
from builder.render.fit import X_HEIGHT_MM
from builder.render.formats import card_format
from builder.render.pdf import PdfEngine
from tests.languages.conftest import LANGUAGES
from tests.languages.site_in import change, judged, site_in
from tests.render.samples import FIGURES, block, card, entrant, para
from tests.rendered import render_cards
from tests.shared import told_figures

ARABIC = "carbon-dioxide-entrant.ar"


def spaced(text):
    return re.sub(r"[\s\u00a0\u202f\u2066-\u2069\u200e\u200f\u202a-\u202e]+", " ", text)


def read_out(path):
    """The text of a PDF by two readers that know nothing of each other."""
    poppler = subprocess.run(["pdftotext", "-raw", str(path), "-"], capture_output=True, check=True).stdout.decode()
    return spaced(poppler), spaced(" ".join(page.extract_text() for page in PdfReader(path).pages))


def composed(demo, name):
    return next(one for one in demo.built.composed.cards if one.name == name)


def test_a_file_a_language_and_one_for_a_bilingual_card(demo):
    names = {path.name for path in (demo.out / "cards").glob("*.pdf")}
    wanted = {"wet-well-entrant.pdf", "wet-well-entrant.es.pdf", "wet-well-entrant.pl.pdf", "lone-worker.pdf"}
    assert wanted <= names
    spoken = {name.split(".")[1] for name in names if name.count(".") > 1}
    assert spoken == set(LANGUAGES)


def test_the_cards_page_leads_to_every_language(demo):
    page = (demo.out / "cards" / "index.html").read_text(encoding="utf-8")
    assert 'href="wet-well-entrant.es.pdf"' in page
    assert "in English and Spanish" in page
    assert composed(demo, "wet-well-entrant.pl").code in page


def test_every_card_of_every_language_has_a_code_of_its_own(demo):
    codes = [one.code for one in demo.built.composed.cards]
    assert len(set(codes)) == len(codes)


@pytest.mark.parametrize(
    "name", ["wet-well-entrant.es", "wet-well-entrant.pl", "sludge-dryer-entrant.de", "digester-entrant.pt"]
)
def test_its_numbers_are_read_out_as_the_ledger_tells_them(demo, name):
    language = name.rpartition(".")[2]
    told = told_figures(demo.out)
    path = f"cards/{name}.pdf"
    texts = [spaced(entry["texts"][language]) for entry in told.values() if path in entry["printed_on"]]
    assert texts
    readers = [reader.replace(" ", "") for reader in read_out(demo.out / path)]  # one of them drops thin spaces
    for text in texts:
        assert all(text.replace(" ", "") in reader for reader in readers), text


@pytest.mark.parametrize("name", ["lone-worker", ARABIC, "wet-well-entrant.pl"])
def test_an_independent_checker_finds_no_fault(demo, name):
    report = validate(str(demo.out / f"cards/{name}.pdf"))
    assert [one.message for one in report.findings if one.severity >= Severity.WARNING] == []


def test_a_bilingual_card_says_the_same_on_both_sides(demo):
    one = composed(demo, "lone-worker")
    front, back = one.sides
    assert (one.language, one.faced(back).language) == ("en", "es")
    assert [part.name for part in front.blocks] == [part.name for part in back.blocks]
    first, second = (page.extract_text() for page in PdfReader(demo.out / one.path).pages)
    assert "Working alone" in first and "Trabajo en solitario" not in first  # noqa: PT018
    assert "Trabajo en solitario" in second and "Working alone" not in second  # noqa: PT018


def test_arabic_keeps_numbers_in_the_order_they_are_read_in(demo):
    told = told_figures(demo.out)
    path = f"cards/{ARABIC}.pdf"
    texts = [entry["texts"]["ar"] for entry in told.values() if path in entry["printed_on"]]
    numbers = [spaced(text) for text in texts if not arabic.has_arabic(text)]
    assert "19.7" in numbers
    poppler, pypdf = read_out(demo.out / path)
    for text in numbers:
        squeezed = text.replace(" ", "")
        assert squeezed in poppler.replace(" ", ""), text
        assert squeezed in pypdf.replace(" ", ""), text
    assert "مخزن" in poppler
    assert "مخزن" in pypdf


def test_arabic_is_marked_and_mirrored(demo, judged):
    one = composed(demo, ARABIC)
    html = card_html(one, judged.ledger.figures)
    assert 'lang="ar" dir="rtl"' in html
    assert re.search(r'<span class="fig decisive" data-decisive="yes" dir="ltr">19\.7', html)
    assert f'dir="rtl">{spelled_day(judged.ledger.day("card.issued"), "ar")}<' in html


def test_in_arabic_the_first_column_stands_on_the_right(demo, judged):
    one = composed(demo, ARABIC)
    form = card_format(one.format)
    css = (card_css(), *language_css(one), page_css(form.width, form.height), side_css(form))
    with PdfEngine() as engine:
        side = sides_of(engine.document(card_html(one, judged.ledger.figures), css))[0]
    number = next(ink for ink in side.inks if ink.block == "contacts" and ink.text.strip() == "4400")
    who = next(ink for ink in side.inks if ink.block == "contacts" and ink.text.startswith("طوارئ"))
    assert number.rect.left > who.rect.right
    letters = [ink for ink in side.inks if ink.kind == "text" and arabic.has_arabic(ink.text) and not ink.decor]
    assert letters
    assert min(ink.x_height for ink in letters) >= X_HEIGHT_MM


def test_only_arabic_may_use_the_second_family(demo):
    def families(path):
        fonts = [font for page in PdfReader(path).pages for font in page["/Resources"]["/Font"].values()]
        return {str(font.get_object()["/BaseFont"]).partition("+")[2] for font in fonts}

    assert any("Arabic" in name for name in families(demo.out / f"cards/{ARABIC}.pdf"))
    assert not any("Arabic" in name for name in families(demo.out / "cards/wet-well-entrant.pl.pdf"))
    one = card("latin", (block("text", para("غاز")),))
    with PdfEngine() as engine:
        document = engine.document(card_html(one, FIGURES), (card_css(),))
        with pytest.raises(RenderError, match="has no glyph"):
            engine.write(document, "latin", "en")
    with pytest.raises(RenderError):
        render_cards([one], FIGURES)


def test_a_step_that_nobody_translated_is_read_in_its_order_on_an_arabic_card(tmp_path):
    content = site_in(tmp_path, "ar", pages=False)
    steps = '  - {block: before-use, steps: ["Look first, then wait {check.bump-test.gas-time}, then read."]}\n'
    change(content / "cards" / "pit-entrant.yaml", "languages: [en]\n", "languages: [en, ar]\n")
    change(content / "cards" / "pit-entrant.yaml", "back:\n", f"back:\n{steps}")
    found = judged(content)
    whole = next(one for one in found.papers.cards.papers if one.language == "ar")
    (step,) = (one for side in whole.sides for one in side.blocks if one.name == "before-use")
    one = replace(whole, sides=(CardSide(name="front", blocks=(step,)),), foot=())
    (tmp_path / "card.pdf").write_bytes(render_cards([one], found.ledger.figures)[0].pdf)
    asked = ["pdftotext", "-bbox", str(tmp_path / "card.pdf"), "-"]
    boxes = subprocess.run(asked, capture_output=True, check=True).stdout.decode()
    left = {word: float(at) for at, word in re.findall(r'xMin="([0-9.]+)"[^>]*>[^\w<]*(Look|wait|60|read)\b', boxes)}
    assert sorted(left, key=lambda word: left[word]) == ["Look", "wait", "60", "read"]


def test_arabic_without_its_font_is_a_plain_error(monkeypatch):
    lacking = tuple(replace(face, package="no_such_font_package") for face in arabic.FACES)
    monkeypatch.setattr(arabic, "FACES", lacking)
    one = replace(card("arabic", (block("text", para("غاز")),)), language="ar")
    with pytest.raises(RenderError, match="no_such_font_package is not installed"):
        language_css(one)


@pytest.mark.parametrize("language", ["en", *LANGUAGES])
def test_one_card_is_set_in_every_language_and_twice_alike(language):
    sides = (CardSide(name="front", blocks=entrant().sides[0].blocks[1:]),)
    one = replace(entrant(), language=language, sides=sides, foot=())
    first, second = (render_cards([one], FIGURES)[0].pdf for _ in range(2))
    assert first == second
    assert PdfReader(BytesIO(first)).trailer["/Root"]["/Lang"] == language
