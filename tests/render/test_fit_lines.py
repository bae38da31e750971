"""Line spacing, rules, punched holes and last lines: planted beside their limits, on records and on laid-out cards."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.base.errors import FitError
from builder.pages.blocks import Paragraph, Strong, Text
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, page_css, side_css
from builder.render.fit import fit_faults, fit_notes, strays
from builder.render.formats import FORMATS, card_format
from builder.render.laid_out import LaidOutItem, Side
from builder.render.lines import hole, hole_faults, spacings, stubs
from builder.render.pdf import PdfEngine
from builder.render.shapes import Rect
from tests.render.samples import FIGURES, block, calibrator, card, entrant, fig, folded, index_card, para
from tests.rendered import render_cards

MM_A_PT = 25.4 / 72


@pytest.fixture(scope="module")
def engine():
    with PdfEngine() as made:
        yield made


def laid(engine, one, css=""):
    form = card_format(one.format)
    sheets = (card_css(), page_css(form.width, form.height), side_css(form), css)
    return sides_of(engine.document(card_html(one, FIGURES), sheets))


def faults(engine, one, css=""):
    sides = laid(engine, one, css)
    return fit_faults(sides, [(side.card, side.name) for side in sides])


def line(top: float, size: float = 10, text: str = "words", right: float = 60, flow: int = 1) -> LaidOutItem:
    rect = Rect(left=3, top=top, right=right, bottom=top + 3)
    return LaidOutItem(kind="text", block="b", rect=rect, text=text, size_pt=size, flow=flow, baseline=top + 3)


def side(*inks: LaidOutItem, punch: str = "") -> Side:
    area = Rect(left=0, top=0, right=74, bottom=105)
    return Side(card="c", name="front", page=1, area=area, foot_top=95, inks=inks, words=(), punch=punch)


@pytest.mark.parametrize(("apart_pt", "fault"), [(12, ""), (11.9, "1.19 type sizes"), (10, "1.00 type sizes")])
def test_lines_of_ten_points_stand_twelve_apart(apart_pt, fault):
    found = list(spacings(side(line(20), line(20 + apart_pt * MM_A_PT))))
    assert [fault in said for _, said in found] == ([True] if fault else [])


def test_spacing_is_measured_in_the_size_of_most_letters_and_within_one_text_alone():
    number = line(20, size=14, text="9")
    assert list(spacings(side(line(20), number, line(20 + 12 * MM_A_PT)))) == []
    assert list(spacings(side(line(20), line(22, flow=2)))) == []
    large = line(20, size=14, text="a long large line of words")
    assert list(spacings(side(large, line(20 + 12 * MM_A_PT))))


@pytest.mark.parametrize(
    ("css", "where"),
    [
        ("[data-block=before-use] { line-height: 1.1 }", "block before-use: lines stand 1.1"),
        ("footer { line-height: 1 } footer p { width: 30mm }", "block foot: lines stand"),
    ],
)
def test_type_set_too_tight_is_caught_in_every_kind_of_text(engine, css, where):
    assert any(where in fault for fault in faults(engine, entrant(), css))


@pytest.mark.parametrize("make", [entrant, calibrator, folded, index_card])
def test_no_text_of_a_good_card_is_excepted_from_line_spacing(engine, make):
    sides = laid(engine, make())
    flows = {ink.flow for one in sides for ink in one.inks if ink.kind == "text" and ink.text.strip()}
    assert 0 not in flows
    assert [fault for one in sides for fault in spacings(one)] == []


def test_rules_stay_in_the_safe_area(engine):
    assert faults(engine, entrant()) == []
    css = "[data-block=contacts] { margin-left: -2mm; padding-left: 2mm }"
    assert any("block contacts: 2.0 mm left of the safe area" in fault for fault in faults(engine, entrant(), css))
    frame = LaidOutItem(kind="rule", block="b", rect=Rect(left=2, top=20, right=60, bottom=30), edges=(0.2, 0, 0, 0))
    assert list(strays(side(frame))) == ["block b: 2.0 mm left of the safe area"]


@pytest.mark.parametrize(("right", "told"), [(8.8, []), (8.6, [("b", '"up." stands alone on a last line')])])
def test_a_last_line_under_a_tenth_of_the_width_is_a_stub(right, told):
    assert list(stubs(side(line(20), line(25, right=right, text="up.")))) == told
    assert list(stubs(side(line(20, right=5)))) == []


@pytest.mark.parametrize(
    ("punch", "middle"), [("", None), ("top-left", (6.5, 6.5)), ("top-centre", (37, 6.5)), ("top-right", (67.5, 6.5))]
)
def test_where_the_hole_is(punch, middle):
    assert hole(side(punch=punch)) == middle


@pytest.mark.parametrize(
    ("rect", "short"),
    [
        (Rect(left=11, top=3, right=60, bottom=8), ""),
        (Rect(left=10, top=6, right=60, bottom=7), "1.0 mm too near"),
        (Rect(left=3, top=11, right=60, bottom=14), ""),
        (Rect(left=3, top=9, right=60, bottom=14), "2.0 mm too near"),
        (Rect(left=5, top=5, right=8, bottom=8), "4.5 mm too near"),
    ],
)
def test_print_keeps_two_millimetres_from_a_hole_of_five(rect, short):
    found = list(hole_faults(side(LaidOutItem(kind="text", block="b", rect=rect, text="x"), punch="top-left")))
    assert [short in said for _, said in found] == ([True] if short else [])
    assert list(hole_faults(side(LaidOutItem(kind="text", block="b", rect=rect, text="x")))) == []


def test_a_frame_around_a_hole_is_judged_by_its_edges():
    frame = LaidOutItem(
        kind="rule", block="b", rect=Rect(left=0, top=0, right=60, bottom=60), edges=(0.2, 0.2, 0.2, 0.2)
    )
    assert list(hole_faults(side(frame, punch="top-left"))) == []
    near = replace(frame, rect=Rect(left=0, top=0, right=60, bottom=10))
    assert [said for _, said in hole_faults(side(near, punch="top-left"))] == ["1.2 mm too near the punched hole"]


@pytest.mark.parametrize("form", ["ID-1", "A7", "A6", "3x5in"])
@pytest.mark.parametrize("punch", ["top-left", "top-centre"])
def test_a_card_leaves_room_for_its_hole_on_both_sides(engine, form, punch):
    short = (block("text", para("Do this.")),)
    one = replace(card("c", short, short, form=form), punch=punch)
    assert faults(engine, one) == []
    sides = laid(engine, one)
    across = [hole(part)[0] for part in sides]
    assert across[0] + across[1] == pytest.approx(FORMATS[form].width, abs=0.01)
    crowded = faults(engine, one, "header { padding: 0 !important } .punch { padding: 3mm !important }")
    assert any("too near the punched hole" in fault for fault in crowded)


def test_a_single_short_last_line_is_told_but_is_no_fault(engine):
    one = card("c", (block("text", para("Alarm, symptom, or lost contact: straightforwardly up.")),))
    assert fit_notes(laid(engine, one)) == []
    sides = laid(engine, one, "[data-block=text] p { width: 58mm }")
    assert fit_faults(sides, [("c", "front")]) == []
    assert fit_notes(sides) == ['card c, front (en), block text: "up." stands alone on a last line']
    assert fit_notes(laid(engine, entrant())) == []


LONG = "Leave the space by the way you came, tell the attendant, and do not go back before the air was tested again. "


def filled(times: int, smallest: float = 0):
    paragraphs = tuple(para(LONG * 2) for _ in range(times))
    decided = Paragraph((Text("At "), *fig("setpoint.flammable.high"), Strong((Text(" leave."),))))
    return replace(card("c", (block("text", *paragraphs, decided),)), smallest=smallest)


def test_a_card_that_may_shrink_is_set_in_the_largest_type_that_fits_and_that_is_told():
    many = 6
    with pytest.raises(FitError, match="below the safe area"):
        render_cards([filled(many)], FIGURES)
    [made] = render_cards([filled(many, smallest=7)], FIGURES)
    assert 7 <= made.type_pt < 7.6
    assert made.notes[0] == f"card c: type set down from 7.6 pt to {made.type_pt:g} pt so that it fits"
    with pytest.raises(FitError, match=r"smaller type down to 7.6 pt did not help"):
        render_cards([filled(many, smallest=made.type_pt + 0.1)], FIGURES)


def test_a_card_that_fits_is_never_set_smaller():
    [made] = render_cards([filled(1, smallest=7)], FIGURES)
    assert (made.type_pt, made.notes) == (FORMATS["A7"].largest, ())
    assert made.pdf == render_cards([filled(1)], FIGURES)[0].pdf
