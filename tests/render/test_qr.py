"""Square codes: what a telephone reads from print, blank edges, size of modules, and the code that is read out."""

from __future__ import annotations

import re
import subprocess
from collections import Counter

import pytest
import segno
import zxingcpp

from builder.base.errors import FitError
from builder.pages.blocks import Qr
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, page_css, side_css
from builder.render.fit import fit_faults
from builder.render.formats import card_format
from builder.render.pdf import PdfEngine
from builder.render.qr import qr_mark, undrawn_mark
from tests.render.raster import rasters
from tests.render.samples import FIGURES, block, card, para, qr_block
from tests.rendered import render_cards

BEFORE = "https://handbook.example/cards/status.html#"


@pytest.mark.parametrize("draft", [False, True])
@pytest.mark.parametrize("form", ["ID-1", "A7", "A6", "3x5in"])
@pytest.mark.parametrize("before", [BEFORE, ""])
def test_an_independent_reader_reads_the_printed_code(form, before, draft):
    one = card("c", (qr_block(before),), form=form, draft=draft)
    made = render_cards([one], FIGURES)[0]
    [page] = rasters(made.pdf)
    assert [found.text for found in zxingcpp.read_barcodes(page)] == [before + "EX-7K2M"]
    text = subprocess.run(["pdftotext", "-", "-"], input=made.pdf, capture_output=True, check=True).stdout.decode()
    assert "EX-7K2M" in text.split("current?")[1].split("Revision")[0]


@pytest.mark.parametrize("length", [1, 12, 25, 62, 84, 106, 122, 152, 180, 213, 251, 400])
def test_who_only_asks_for_the_room_of_a_code_is_told_that_of_the_drawn_one(length):
    """Some are the capacities of versions for bytes at middle correction (ISO/IEC 18004, table 7), from memory."""
    for text in (
        "a" * length,
        ("https://example.org/" * 20)[:length],
        "Ab9é" * (length // 5 + 1),
        "7" * length,
        ("EX-7K2M." * 50)[:length],
    ):
        drawn, undrawn = qr_mark(text), undrawn_mark(text)
        assert (undrawn.text, undrawn.modules, undrawn.size) == (text, drawn.modules, drawn.size)
        assert drawn.path
        assert undrawn.path == ""


@pytest.mark.parametrize("text", ["EX-7K2M", BEFORE + "EX-7K2M"])
def test_the_outline_holds_every_dark_module_and_no_other(text):
    """By the winding number of each module's middle, against what the library made."""
    mark, code = qr_mark(text), segno.make(text, error="m", micro=False, boost_error=False)
    walls = Counter()  # upright edges, by where they stand and the row they cross: 1 downward, -1 upward
    for start, steps in re.findall(r"M(\d+ \d+)((?:[hv]-?\d+)+)z", mark.path):
        x, y = map(int, start.split())
        moves = [(kind, int(long)) for kind, long in re.findall(r"([hv])(-?\d+)", steps)]
        across, down = (sum(long for kind, long in moves if kind == way) for way in "hv")
        moves += [("h", -across)] * bool(across) + [("v", -down)] * bool(down)
        for kind, long in moves:
            if kind == "h":
                x += long
                continue
            for row in range(min(y, y + long), max(y, y + long)):
                walls[x, row] += 1 if long > 0 else -1
            y += long
    for row, line in enumerate(code.matrix, start=4):
        for column, dark in enumerate(line, start=4):
            inside = sum(count for (x, at), count in walls.items() if at == row and x <= column)
            assert abs(inside) == int(dark), (row, column)


def test_four_blank_modules_and_modules_of_a_third_of_a_millimetre():
    mark = qr_mark(BEFORE + "EX-7K2M")
    [page] = rasters(render_cards([card("c", (qr_block(),))], FIGURES)[0].pdf, dpi=600)
    found = zxingcpp.read_barcodes(page)[0].position
    width_mm = (found.top_right.x - found.top_left.x + 1) / 600 * 25.4
    drawn = mark.modules - 8
    assert width_mm / drawn >= 0.33
    assert width_mm / drawn == pytest.approx(mark.size / mark.modules, rel=0.02)
    quiet = round(3.8 * width_mm / drawn / 25.4 * 600)
    box = (
        found.top_left.x - quiet,
        found.top_left.y - quiet,
        found.bottom_right.x + quiet,
        found.bottom_right.y + quiet,
    )
    edge = page.crop(box)
    for strip in ((0, 0, edge.width, quiet - 4), (0, 0, quiet - 4, edge.height)):
        assert edge.crop(strip).getextrema() == (255, 255)
        far = (edge.width - strip[2], edge.height - strip[3], edge.width, edge.height)
        assert edge.crop(far).getextrema() == (255, 255)


def test_the_longest_address_still_makes_a_code_that_fits_the_smallest_card():
    address = "https://" + "a" * 68 + ".org"
    one = card("c", (qr_block(f"{address}/cards/status.html#"),), form="ID-1")
    assert len(address) == 80
    assert render_cards([one], FIGURES)[0].pages == 1


@pytest.mark.parametrize(
    ("css", "fault"),
    [
        (".qr svg { transform: scale(0.75) }", "a module of the code is 0.27 mm wide, at least 0.33 mm is needed"),
        (".qr svg { margin-right: -3mm }", "is printed over a square code or its blank edge"),
        (".qr svg { margin-left: -1mm }", "mm left of the safe area"),
    ],
)
def test_a_code_that_would_not_be_read_is_a_fault(css, fault):
    one = card("c", (qr_block(),))
    form = card_format("A7")
    with PdfEngine() as engine:
        sheets = (card_css(), page_css(form.width, form.height), side_css(form), css)
        found = fit_faults(sides_of(engine.document(card_html(one, FIGURES), sheets)), [("c", "front")])
    assert any(fault in one for one in found), found


def test_too_long_an_address_is_a_fault_and_no_smaller_code():
    one = card("c", (block("qr", Qr(before="https://" + "a" * 900 + "#", says="x"), para("x")),), form="ID-1")
    with pytest.raises(FitError, match="below the safe area"):
        render_cards([one], FIGURES)
