"""Cards with room to spare are set larger and looser, a side at a time, and never at the cost of anything."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder import pipeline
from builder.base.errors import FitError
from builder.pages.blocks import CardSide, Ease, ItemList
from builder.pages.cards.compose import compose_cards
from builder.pages.prose import ProseContext
from builder.program.cards import AUDIENCES
from builder.render import easing
from builder.render.card_pages import type_sizes
from builder.render.cards import as_fitted, render_cards
from builder.render.easing import GAP_MM, MOST, ROW_MM, Room, halfway, larger, loosened
from builder.render.formats import FORMATS
from builder.render.imposition import SheetLayout
from builder.render.sheets import render_sheets
from tests.conftest import DAY, DEMO
from tests.render.outside import read_runs, read_words, seen_faults
from tests.render.raster import rasters
from tests.render.samples import FIGURES, alarm_block, block, calibrator, card, contact_block, entrant, folded, para

FULL = 0.6
"""Of the room between head and foot of a side of the demo, this much is used: less looks like something left out."""


def test_the_first_try_lies_between_growth_of_lines_and_of_areas():
    assert larger(Room(used=80, whole=80), 8) == 0
    assert larger(Room(used=0, whole=80), 8) == 0
    assert larger(Room(used=40, whole=50), 8) == pytest.approx(9.3)  # 8 × 1.25^0.7 = 9.35
    assert larger(Room(used=10, whole=80), 8) == pytest.approx(8 * MOST)
    assert larger(Room(used=79.9, whole=80), 8) == 0
    assert halfway(10, 8) == 9
    assert halfway(8.1, 8) == 0


def test_spare_room_goes_between_rows_first_and_then_between_blocks():
    three = CardSide(
        name="front", blocks=(block("text", ItemList(items=((para("a"),),) * 3)), block("text", para("b")))
    )
    assert loosened(three, Room(used=40, whole=40)) == (0, 0)
    assert loosened(three, Room(used=40, whole=44)) == (0.4, 0.8)  # 0.6 × 4 mm over six half rows, the rest over two
    assert loosened(three, Room(used=10, whole=90)) == (ROW_MM, GAP_MM)
    one = CardSide(name="front", blocks=(block("text", para("b")),))
    assert loosened(one, Room(used=10, whole=90)) == (0, 0)


def test_a_short_card_is_set_larger_up_to_a_cap():
    [made] = render_cards([card("c", (block("text", para("Leave.")),))], FIGURES)
    usual = FORMATS["A7"].types.text
    assert made.eases == (Ease(type_pt=pytest.approx(usual * MOST, abs=0.1)),)
    assert {round(run.points, 2) for run in read_runs(made.pdf)[0] if run.text == "Leave."} == {made.eases[0].type_pt}


def test_each_side_grows_by_itself_and_numbers_and_actions_with_it():
    one = card("c", (alarm_block(), contact_block()), (block("text", para("Leave.")),))
    [made] = render_cards([one], FIGURES)
    front, back = made.eases
    assert front.type_pt < back.type_pt
    [larger_front] = render_cards([replace(one, sides=(replace(one.sides[0], blocks=(alarm_block(),)),))], FIGURES)
    sizes = [
        max(run.points for run in read_runs(pdf)[0] if "Get out" in run.text) for pdf in (made.pdf, larger_front.pdf)
    ]
    assert 10 <= sizes[0] < sizes[1]


@pytest.mark.parametrize("make", [entrant, calibrator, folded])
def test_a_side_fills_its_room_and_nothing_leaves_it(make):
    one = make()
    [made] = render_cards([one], FIGURES)
    assert any(ease.type_pt or ease.row_mm for ease in made.eases)
    assert seen_faults(one, made.pdf, FIGURES) == []


def test_growth_tears_no_number_from_its_word(monkeypatch):
    """In the largest type the line would break before its last word alone."""

    def lines():
        long = card("c", (block("text", para("Rescue team desk on standby, internal line 4411")),))
        [made] = render_cards([long], FIGURES)
        return len({round(word[2], 1) for word in read_words(made.pdf)[0] if word[0] in ("line", "4411")})

    assert lines() == 1
    monkeypatch.setattr(easing, "SHORT", 0)
    assert lines() == 2


def test_sheets_print_a_card_as_large_as_it_was_fitted():
    one = card("c", (block("text", para("Leave.")),))
    rendered = render_cards([one], FIGURES)
    [fitted] = as_fitted([one], rendered)
    assert fitted.sides[0].ease == rendered[0].eases[0]
    [sheet] = render_sheets([fitted], FIGURES, "A4", setting=SheetLayout(copies=1))
    assert {round(run.points, 2) for run in read_runs(sheet.pdf)[0] if run.text == "Leave."} == {
        fitted.sides[0].ease.type_pt
    }


def test_ease_does_not_change_what_a_card_is():
    """Its code is made from what this prints."""
    one = card("c", (block("text", para("Leave.")),))
    eased = replace(one, sides=(replace(one.sides[0], ease=Ease(type_pt=9)),))
    assert repr(one) == repr(eased)


# ---- the demo ----------------------------------------------------------------


@pytest.fixture(scope="module")
def demo():
    judged = pipeline.judge(DEMO, DAY)
    context = ProseContext(ledger=judged.ledger, titles=lambda reference: reference)
    cards = compose_cards(judged.program, judged.ledger, context, draft=False)
    return cards, render_cards(cards, judged.ledger.figures), judged


def test_every_audience_has_a_card(demo):
    assert {card.audience for card in demo[2].program.cards.values()} == set(AUDIENCES)


def test_no_side_of_the_demo_is_half_empty(demo):
    for one, made in zip(demo[0], demo[1], strict=True):
        form = FORMATS[one.format]
        for page in rasters(made.pdf, 50):
            deep, wide = page.height / form.down, page.width / form.across
            for x in range(form.across):
                for y in range(form.down):
                    panel = page.crop((round(x * wide), round(y * deep), round((x + 1) * wide), round((y + 1) * deep)))
                    assert used(panel) >= FULL, (one.id, made.eases)


def used(panel) -> float:
    """How far down the ink above the foot reaches: the foot begins at the lowest rule from edge to edge."""
    dark = [[value < 200 for value in row_of(panel, y)] for y in range(panel.height)]
    rules = [y for y, row in enumerate(dark) if sum(row) > 0.85 * panel.width]
    foot = rules[-1]
    return max(y for y in range(foot - 2) if any(dark[y][4:-4])) / foot


def row_of(panel, y):
    return panel.crop((0, y, panel.width, y + 1)).tobytes()


def test_the_one_card_of_the_demo_that_shrinks_says_so_and_stops_at_its_floor(demo):
    cards, rendered, judged = demo
    shrunk = [(one, made) for one, made in zip(cards, rendered, strict=True) if made.type_pt]
    assert [one.id for one, _ in shrunk] == ["tank-lining-tester"]
    [(one, made)] = shrunk
    usual = type_sizes(one).text
    assert one.smallest <= made.type_pt < usual
    assert f"card {one.id}: type set down from {usual:g} pt to {made.type_pt:g} pt so that it fits" in made.notes
    assert min(run.points for page in read_runs(made.pdf) for run in page) >= min(one.smallest, 7.2) - 0.01
    floor = replace(one, smallest=made.type_pt + 0.1)
    with pytest.raises(FitError, match=f"smaller type down to {floor.smallest:g} pt did not help"):
        render_cards([floor], judged.ledger.figures)
