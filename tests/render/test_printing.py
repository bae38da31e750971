"""Printing simulated: a sheet is drawn, cut along its marks alone, and each piece compared with the card by itself.

Each day another third of formats and papers; `make trust` tries all.
"""

from __future__ import annotations

import pytest
from PIL import ImageChops

from builder.render.formats import FORMATS, PAPERS
from builder.render.imposition import SheetLayout, plan
from tests.render.raster import DARK, PX_A_MM, cut, rasters, unlike
from tests.render.samples import FIGURES, calibrator, entrant, folded, index_card, limits
from tests.rendered import render_cards, render_sheets
from tests.trust.long import sample_of

ALIKE = 46
"""Above what half a pixel of shift does to the darkest letters; a wrong number or a moved line gives 80 and more."""
CASES = {
    "A7 on A4": (entrant, "A4", SheetLayout()),
    "A7 on A4, half turn": (entrant, "A4", SheetLayout(short_edge=True)),
    "A6 on Letter, lying": (calibrator, "Letter", SheetLayout()),
    "ID-1 on Letter, bleed": (limits, "Letter", SheetLayout(bleed=3)),
    "3x5in on Letter": (index_card, "Letter", SheetLayout(lamination=5)),
}


@pytest.mark.parametrize("case", sample_of(CASES, 3))
def test_every_piece_cut_from_a_sheet_is_the_card_itself(case):
    make, paper, setting = CASES[case]
    cards = [make("first"), make("second", draft=True)] if make is not index_card else [make("first"), make("second")]
    rendered = render_cards(cards, FIGURES)
    alone = [rasters(made.pdf) for made in rendered]
    sheets = rasters(render_sheets(cards, FIGURES, paper, setting=setting)[0].pdf)
    assert len(sheets) == len(alone[0])
    for number, sheet in enumerate(sheets):
        turned = number == 1 and (sheet.width > sheet.height) is not setting.short_edge
        rows = cut(sheet.rotate(180) if turned else sheet)  # seen from behind, the first of a row is the last
        pieces = [piece for row in rows for piece in (reversed(row) if number == 1 else row)]
        assert len(pieces) >= len(cards)
        for at, piece in enumerate(pieces):  # the sheet is filled with copies, those of a card side by side
            assert unlike(piece, alone[at * len(cards) // len(pieces)][number]) < ALIKE


@pytest.mark.parametrize("form", ["A6-folded", "strip-4"])
def test_a_folded_card_is_cut_out_flat_with_its_panels_in_place(form):
    one = folded(form=form)
    rendered = render_cards([one], FIGURES)
    alone = rasters(rendered[0].pdf)
    sheets = rasters(render_sheets([one], FIGURES, "A4")[0].pdf)
    assert len(sheets) == len(alone) == 2
    for sheet, side in zip(sheets, alone, strict=True):
        pieces = [piece for row in cut(sheet) for piece in row]
        assert pieces
        assert all(unlike(piece, side) < ALIKE for piece in pieces)


def test_another_card_another_number_and_a_shift_are_told_apart():
    figures = {**FIGURES, "setpoint.h2s.low": FIGURES["setpoint.flammable.high"]}
    [one] = rasters(render_cards([limits()], FIGURES)[0].pdf)
    front = rasters(render_cards([entrant()], FIGURES)[0].pdf)[0]
    other = rasters(render_cards([entrant()], figures)[0].pdf)[0]
    assert unlike(front, other) > ALIKE
    assert unlike(front, ImageChops.offset(front, 0, 9)) > ALIKE
    assert unlike(one, rasters(render_cards([limits(draft=True)], FIGURES)[0].pdf)[0]) > ALIKE / 4


def test_what_runs_to_the_edge_of_a_card_goes_on_into_its_bleed():
    """The black tab, above the edge of each card: 9 mm wide, half of it to be seen 1.5 mm above the card."""
    dark = {}
    for bleed in (0, 3):
        setting = SheetLayout(bleed=bleed)
        [sheet] = rasters(render_sheets([limits()], FIGURES, "Letter", setting=setting)[0].pdf)
        place = plan(FORMATS["ID-1"], PAPERS["Letter"], setting).fronts[0]
        row = round((place.top - 1.5) * PX_A_MM)
        reach = range(round(place.left * PX_A_MM) + 4, round((place.left + place.width) * PX_A_MM) - 4)
        dark[bleed] = sum(sheet.getpixel((x, row)) < DARK for x in reach) / PX_A_MM
    assert dark[0] == 0
    assert dark[3] == pytest.approx(9, abs=0.3)
