"""Cards as PDF: sizes, words, tags, the same bytes always, and all faults at once."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from builder.base.errors import FitError, RenderError
from builder.pages.blocks import ItemList, Paragraph
from builder.pages.compositions import figures_in
from builder.render.formats import FORMATS, card_format, paper
from tests.render.samples import FIGURES, block, calibrator, card, entrant, fig, folded, index_card, limits, para
from tests.rendered import render_cards

ROOT = Path(__file__).parents[2]
MM = 72 / 25.4


@pytest.fixture(scope="module")
def rendered():
    return render_cards([entrant(), limits(), calibrator(), entrant("draft", draft=True)], FIGURES)


def spaced(text: str) -> str:
    return " ".join(text.split())


def pdftotext(data: bytes) -> str:
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=data, capture_output=True, check=True)
    return spaced(done.stdout.decode())


@pytest.mark.parametrize(("index", "name", "sides"), [(0, "A7", 2), (1, "ID-1", 1), (2, "A6", 2)])
def test_a_page_a_side_of_the_exact_format(rendered, index, name, sides):
    pages = PdfReader(BytesIO(rendered[index].pdf)).pages
    assert len(pages) == rendered[index].pages == sides
    for page in pages:
        assert float(page.mediabox.width) == pytest.approx(FORMATS[name].width * MM, abs=0.01)
        assert float(page.mediabox.height) == pytest.approx(FORMATS[name].height * MM, abs=0.01)


def test_formats_follow_their_standards():
    assert (FORMATS["ID-1"].width, FORMATS["ID-1"].height) == (85.60, 53.98)
    assert (FORMATS["A7"].width, FORMATS["A7"].height) == (paper("A4").height // 4, paper("A4").width / 2)
    assert (FORMATS["A6"].width, FORMATS["A6"].height) == (paper("A4").width / 2, paper("A4").height // 2)
    assert (paper("Letter").width, paper("Letter").height) == pytest.approx((8.5 * 25.4, 11 * 25.4))
    inch = 25.4
    assert (FORMATS["3x5in"].width, FORMATS["3x5in"].height) == pytest.approx((3 * inch, 5 * inch))
    folded, strip = FORMATS["A6-folded"], FORMATS["strip-4"]
    assert (folded.width, folded.height) == (FORMATS["A6"].height, FORMATS["A6"].width)
    assert (folded.panel_width, folded.panel_height) == (FORMATS["A7"].width, FORMATS["A7"].height)
    assert (strip.panel_width, strip.panel_height) == (FORMATS["ID-1"].width, FORMATS["ID-1"].height)
    assert (strip.width, strip.height) == pytest.approx((85.60, 4 * 53.98))
    every = "ID-1, A7, A6, 3x5in, A6-folded, strip-4, A4, A5, Letter"
    with pytest.raises(RenderError, match=f"unknown card format 'a7'; allowed: {every}; nearest: A7"):
        card_format("a7")


@pytest.mark.parametrize("index", range(3))
def test_every_figure_can_be_read_out_of_the_pdf(rendered, index):
    one = (entrant(), limits(), calibrator())[index]
    pages = PdfReader(BytesIO(rendered[index].pdf)).pages
    texts = (pdftotext(rendered[index].pdf), spaced("".join(page.extract_text() for page in pages)))
    keys = tuple(dict.fromkeys(figures_in(one)))
    for key in keys:
        bare = key.startswith(("reading.", "true."))
        printed = FIGURES[key].text if bare else spaced(FIGURES[key].printed)
        assert all(printed in text for text in texts), printed


@pytest.mark.parametrize("make", [folded, index_card])
def test_two_readers_find_every_figure_of_folded_and_index_cards(make):
    one = make()
    [made] = render_cards([one], FIGURES)
    texts = (pdftotext(made.pdf), spaced("".join(p.extract_text() for p in PdfReader(BytesIO(made.pdf)).pages)))
    keys = tuple(dict.fromkeys(figures_in(one)))
    assert len(keys) >= 10
    for key in keys:
        printed = FIGURES[key].text if key.startswith(("reading.", "true.")) else spaced(FIGURES[key].printed)
        assert all(printed in text for text in texts), printed


@pytest.mark.parametrize(("form", "says"), [("A6-folded", ["4/4", "1/4"]), ("A7", ["1/2"])])
def test_every_side_and_panel_says_which_it_is_of_how_many(form, says):
    one = folded() if form == "A6-folded" else entrant()
    front = PdfReader(BytesIO(render_cards([one], FIGURES)[0].pdf)).pages[0]
    assert all(said in spaced(front.extract_text()) for said in says)


def test_both_sides_say_what_prevails_the_code_and_a_draft(rendered):
    for name, data, draft in (("card", rendered[0].pdf, False), ("draft", rendered[3].pdf, True)):
        for page in PdfReader(BytesIO(data)).pages:
            text = spaced(page.extract_text())
            assert "manual and local rules prevail." in text, name
            assert text.count("EX-7K2M") == 1
            assert ("DRAFT: not for use" in text) is draft


def test_tags_title_language_and_header_scopes(rendered):
    reader = PdfReader(BytesIO(rendered[0].pdf))
    catalog = reader.trailer["/Root"]
    assert catalog["/Lang"] == "en"
    assert catalog["/MarkInfo"]["/Marked"]
    assert reader.metadata.title == "Wet well, Entrant, EX-7K2M"
    scopes = [node["/A"]["/Scope"] for node in elements(catalog["/StructTreeRoot"]) if node.get("/S") == "/TH"]
    assert scopes.count("/Column") == 3
    assert scopes.count("/Row") == 2 + 3


def elements(node):
    yield node
    children = node.get("/K", [])
    for child in children if isinstance(children, list) else [children]:
        found = child.get_object()
        if isinstance(found, dict):
            yield from elements(found)


def test_the_same_bytes_whatever_the_number_of_jobs_and_the_company(rendered):
    cards = [entrant(), limits(), calibrator()]
    assert render_cards(cards, FIGURES, jobs=2) == rendered[:3]
    assert render_cards([limits()], FIGURES) == rendered[1:2]


PRINT_HASHES = """
import hashlib
from tests.rendered import render_cards, render_sheets
from tests.render.samples import FIGURES, entrant, limits
cards = [entrant(), limits(draft=True)]
made = [*render_cards(cards, FIGURES), *render_sheets(cards, FIGURES, "A4")]
print([hashlib.sha256(one.pdf).hexdigest() for one in made])
"""


def test_the_same_bytes_whatever_the_process_zone_and_locale(tmp_path):
    running = [
        subprocess.Popen(
            [sys.executable, "-c", PRINT_HASHES],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": locale, "HOME": str(tmp_path / seed)},
            stdout=subprocess.PIPE,
        )
        for seed, zone, locale in (("1", "Asia/Tokyo", "C"), ("2", "America/Lima", "C.UTF-8"))
    ]
    hashes = [process.communicate(timeout=60)[0] for process in running]
    assert hashes[0].count(b"'") == 8
    assert hashes[0] == hashes[1]


def test_faults_of_all_cards_come_in_one_error():
    long = block("text", para("w" * 90))
    cards = [card("one", (long,)), limits(), card("two", (block("text", para("x")),), (long,))]
    for jobs in (1, 2):
        with pytest.raises(FitError) as caught:
            render_cards(cards, FIGURES, jobs=jobs)
        assert len(caught.value.faults) == 2
        assert caught.value.faults[0].startswith("card one, front (en), block text: ")
        assert caught.value.faults[1].startswith("card two, back (en), block text: ")


@pytest.mark.parametrize("jobs", [1, 2])
def test_engine_errors_name_the_card(jobs):
    cards = [limits(), card("bad", (block("text", para("⚠")),))]
    with pytest.raises(RenderError, match=r"^card bad: .*⚠"):
        render_cards(cards, FIGURES, jobs=jobs)


def test_an_unknown_figure_names_the_card_and_the_nearest():
    table = block("text", entrant().sides[0].blocks[0].blocks[0])
    figures = {key: one for key, one in FIGURES.items() if key != "setpoint.h2s.low"}
    with pytest.raises(
        RenderError, match=r"card c: no figure has the key 'setpoint.h2s.low'; nearest: setpoint.h2s.high"
    ):
        render_cards([card("c", (table,))], figures)


def test_twins_and_strange_cards_are_refused():
    with pytest.raises(RenderError, match="two cards have the id and language wet-well-limits"):
        render_cards([limits(), limits()], FIGURES)
    with pytest.raises(RenderError, match="unknown card format 'B8'"):
        render_cards([card("c", form="B8")], FIGURES)


def test_words_of_an_author_are_never_markup():
    one = card("c", (block("text", para("a < b & <b>c</b>"), title="<i>t</i>"),), title="<u>Well</u>")
    text = pdftotext(render_cards([one], FIGURES)[0].pdf)
    assert "a < b & <b>c</b>" in text
    assert "<i>t</i>" in text
    assert "<u>Well</u>" in text


def test_a_list_that_goes_on_keeps_its_numbers():
    items = ItemList(items=((para("Purge"),), (para("Test"),)), ordered=True, start=9)
    text = pdftotext(render_cards([card("c", (block("text", items),))], FIGURES)[0].pdf)
    assert "9. Purge 10. Test" in text


def test_a_bare_figure_keeps_its_relation_sign_and_drops_its_unit():
    bare = card("c", (block("text", Paragraph(fig("limit.h2s", bare=True))),))
    text = pdftotext(render_cards([bare], FIGURES)[0].pdf)
    assert "> 10" in text
    assert "ppm" not in text


def test_nothing_is_left_behind_in_the_temporary_folder(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    render_cards([entrant(), limits()], FIGURES, jobs=2)
    with pytest.raises(RenderError) as kept:
        render_cards([card("bad", (block("text", para("⚠")),))], FIGURES)
    assert kept.value.__cause__ is not None
    assert list(tmp_path.iterdir()) == []
