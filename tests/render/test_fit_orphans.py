"""What belongs together and was set apart is refused, with card, language, block and millimetres; each way planted."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from builder.base.errors import FitError
from builder.pages.blocks import Heading, ItemList, Paragraph, Table
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, page_css, side_css
from builder.render.fit import fit_faults
from builder.render.formats import card_format
from builder.render.laid_out import LaidOutItem, Side, TextGroup
from builder.render.lines import alone, torn, torn_over_pages
from builder.render.pdf import PdfEngine
from builder.render.shapes import Rect
from tests.render.samples import FIGURES, block, calibrator, card, entrant, folded, index_card, limits, para, words
from tests.rendered import render_cards

MILLIMETRES = re.compile(r"\b\d+\.\d mm\b")


@pytest.fixture(scope="module")
def engine():
    with PdfEngine() as made:
        yield made


def faults(engine, one, css=""):
    form = card_format(one.format)
    sheets = (card_css(), page_css(form.width, form.height), side_css(form), css)
    document = engine.document(card_html(one, FIGURES), sheets)
    return fit_faults(sides_of(document), [(one.id, side.name) for side in one.sides])


@pytest.mark.parametrize("make", [entrant, limits, calibrator, folded, index_card])
def test_nothing_of_a_good_card_is_torn_or_alone(engine, make):
    assert faults(engine, make()) == []


SENTENCE = "Leave the space by the way you came and tell the attendant at once. " * 3
IN_TWO = (
    "[data-block=text] { columns: 2; column-fill: balance; height: %s; overflow: visible } * { orphans: 1; widows: 1 }"
)
ROW = (words("Gas"), words(SENTENCE))
TORN = [
    ("paragraph", (para(SENTENCE * 2),), "a paragraph is torn"),
    ("list item", (ItemList(items=((para(SENTENCE * 2),),)),), "a list item is torn"),
    ("heading", (Heading(3, words(SENTENCE * 2)), para("Go.")), "a heading is torn"),
]


@pytest.mark.parametrize(("blocks", "said"), [case[1:] for case in TORN], ids=[case[0] for case in TORN])
def test_what_is_torn_over_columns_is_refused(engine, blocks, said):
    one = card("c", (block("text", *blocks),))
    found = [fault for fault in faults(engine, one, IN_TWO % "40mm") if said in fault]
    assert found
    assert all(fault.startswith("card c, front (en), block text: ") and MILLIMETRES.search(fault) for fault in found)


def test_what_runs_on_to_another_page_is_named_with_millimetres(engine):
    found = faults(engine, entrant(), "[data-block=contacts] { break-before: page }")
    assert "card wet-well-entrant, front: runs over 2 pages" in found
    told = [fault for fault in found if "ran on to page 2" in fault]
    assert any(fault.startswith("card wet-well-entrant, front (en), block contacts: ") for fault in told)
    assert all(MILLIMETRES.search(fault) for fault in told)


@pytest.mark.parametrize(
    ("css", "at"),
    [
        ("[data-block=contacts] tr + tr { break-before: page }", "block contacts: "),
        (
            "[data-block=alarm-actions] .order:first-of-type { break-before: page }",
            'block alarm-actions: the heading "If it sounds" stands',
        ),
    ],
)
def test_a_break_inside_a_block_is_named_with_millimetres(engine, css, at):
    found = [fault for fault in faults(engine, entrant(), css) if f"front (en), {at}" in fault]
    assert any(MILLIMETRES.search(fault) for fault in found)


def test_a_panel_that_overflows_into_the_next_is_refused_with_its_own_name():
    one = folded()
    tall = replace(one.sides[1], blocks=(block("text", *(para(SENTENCE) for _ in range(12))),))
    sides = (one.sides[0], tall, *one.sides[2:])
    with pytest.raises(FitError) as caught:
        render_cards([replace(one, sides=sides)], FIGURES)
    assert any("panel 2 (en), block text: " in fault and MILLIMETRES.search(fault) for fault in caught.value.faults)


def test_a_heading_with_nothing_below_it_is_refused():
    for blocks in ((), (para("Go."), Heading(3, words("Left behind")))):
        with pytest.raises(FitError) as caught:
            render_cards([card("c", (block("text", *blocks, title="Post"),))], FIGURES)
        [fault] = caught.value.faults
        name = "Left behind" if blocks else "Post"
        assert fault.startswith(f'card c, front (en), block text: the heading "{name}" stands alone, nothing follows')
        assert MILLIMETRES.search(fault)


def test_a_heading_far_from_what_it_heads_is_refused(engine):
    far = "[data-block=contacts] h2 { margin-bottom: %smm }"
    assert not any("left alone" in fault for fault in faults(engine, entrant(), far % 5))
    found = [fault for fault in faults(engine, entrant(), far % 20) if "left alone" in fault]
    assert len(found) == 1
    assert re.search(r'block contacts: the heading "Who to call" is left alone, 2\d\.\d mm above', found[0])


# ---- at the limits, on records ------------------------------------------------------------


def ink(top, *, head=False, name="b", size=10):
    rect = Rect(left=3, top=top, right=40, bottom=top + 3)
    return LaidOutItem(kind="text", block=name, rect=rect, text="Head" if head else "words", size_pt=size, head=head)


def side(*inks, units=(), page=1):
    area = Rect(left=0, top=0, right=74, bottom=105)
    return Side(card="c", name="front", page=page, area=area, foot_top=95, inks=inks, words=(), units=units)


def test_a_heading_may_stand_three_of_its_lines_above():
    three = 3 * 10 * 25.4 / 72
    assert list(alone(side(ink(10, head=True), ink(13 + three - 0.01)))) == []
    assert [said for _, said in alone(side(ink(10, head=True), ink(13 + three + 0.1)))] == [
        'the heading "Head" is left alone, 10.7 mm above what it heads'
    ]


def test_a_heading_at_the_end_of_a_column_is_told():
    assert [said for _, said in alone(side(ink(80, head=True), ink(10)))] == [
        'the heading "Head" is left alone, 70.0 mm below what it heads'
    ]
    assert [said for _, said in alone(side(ink(80, head=True), ink(10, name="d")))] == [
        'the heading "Head" stands alone, nothing follows it in the 12.0 mm below'
    ]


def test_all_but_the_first_piece_of_what_is_torn_is_counted():
    first, second = Rect(left=3, top=80, right=30, bottom=95), Rect(left=40, top=10, right=70, bottom=14)
    assert list(torn(side(units=(TextGroup(block="b", kind="table row", parts=(first,)),)))) == []
    assert list(torn(side(units=(TextGroup(block="b", kind="table row", parts=(first, second)),)))) == [
        ("b", "a table row is torn, 4.0 mm of it stand in another column")
    ]


def test_as_many_pages_as_were_asked_for_are_none_too_many():
    parts = [side(ink(10)), side(ink(10), page=2)]
    assert list(torn_over_pages(parts, [("c", "front")] * 2)) == []
    assert [said for _, _, said in torn_over_pages(parts, [("c", "front")])] == ["3.0 mm of it ran on to page 2"]


def test_table_rows_in_columns_stay_whole_or_are_told(engine):
    table = Table(columns=("A", "B"), rows=(ROW, ROW, ROW))
    found = faults(engine, card("c", (block("text", table, Paragraph(words("End."))),)), IN_TWO % "24mm")
    assert any("is torn" in fault or "below the safe area" in fault for fault in found), found
