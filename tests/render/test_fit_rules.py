"""The rules of fit on hand-made records, at and beside their limits."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.base.contrast import contrast
from builder.render.fit import contrasts, crossings, losses, overlaps, sizes, spills, strays
from builder.render.laid_out import LaidOutItem, Side
from builder.render.shapes import Rect


def rect(left: float, top: float, right: float, bottom: float) -> Rect:
    return Rect(left=left, top=top, right=right, bottom=bottom)


def text(where: Rect, **changes: object) -> LaidOutItem:
    ink = LaidOutItem(kind="text", block="b", rect=where, core=where, text="ab", size_pt=8, x_height=1.3)
    return replace(ink, **changes)


def side(*inks: LaidOutItem, foot_top: float | None = 95, source: tuple[tuple[str, str], ...] = ()) -> Side:
    return Side(card="c", name="front", page=1, area=rect(0, 0, 74, 105), foot_top=foot_top, inks=inks, words=source)


@pytest.mark.parametrize(
    ("where", "fault"),
    [
        (rect(4, 4, 70, 95), ""),
        (rect(3.99, 3.99, 70.01, 95.01), ""),
        (rect(3.95, 4, 70, 95), "0.1 mm left of the safe area"),
        (rect(4, 4, 71.34, 95), "1.4 mm right of the safe area"),
        (rect(4, 0, 70, 95), "4.0 mm above the safe area"),
        (rect(4, 4, 70, 98.4), "3.4 mm below the safe area, which ends at the foot"),
    ],
)
def test_the_safe_area_ends_four_millimetres_inside_and_at_the_foot(where, fault):
    found = list(strays(side(text(where))))
    assert found == ([f"block b: {fault}"] if fault else [])


def test_without_a_foot_the_safe_area_ends_at_the_edge():
    assert list(strays(side(text(rect(4, 4, 70, 101)), foot_top=None))) == []
    assert list(strays(side(text(rect(4, 4, 70, 102)), foot_top=None))) == ["block b: 1.0 mm below the safe area"]


def test_a_blank_leaves_no_ink_where_it_stands():
    assert list(strays(side(text(rect(3, 4, 5, 9), text="\N{NO-BREAK SPACE} ")))) == []
    assert list(strays(side(text(rect(3, 4, 5, 9), text=" .")))) == ["block b: 1.0 mm left of the safe area"]


def test_only_the_worst_of_a_block_is_told():
    found = list(strays(side(text(rect(4, 4, 72, 9)), text(rect(4, 10, 74, 15)))))
    assert found == ["block b: 4.0 mm right of the safe area"]


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"x_height": 1.2}, ""),
        ({"x_height": 1.19}, "a lower-case x is 1.19 mm high"),
        ({"decisive": True, "size_pt": 9.0}, ""),
        ({"decisive": True, "size_pt": 8.99}, "a decisive number is 8.99 pt"),
        ({"action": True, "size_pt": 13.0, "weight": 700}, ""),
        ({"action": True, "size_pt": 12.99, "weight": 700}, "the action is 12.99 pt"),
        ({"action": True, "size_pt": 13.0, "weight": 600}, "not bold"),
    ],
)
def test_type_sizes_at_their_limits(changes, fault):
    found = list(sizes(side(text(rect(3, 3, 20, 6), **changes))))
    assert [fault in one for one in found] == ([True] if fault else [])


def test_published_contrast_ratios():
    # #767676 on white is the well-known darkest failing neighbour of 4.5:1; #595959 of 7:1 (WCAG 2 luminance).
    def grey(code: int) -> tuple[float, float, float]:
        return (code / 255, code / 255, code / 255)

    assert contrast((0, 0, 0), (1, 1, 1)) == pytest.approx(21)
    assert contrast(grey(0x76), (1, 1, 1)) == pytest.approx(4.54, abs=0.005)
    assert contrast((1, 0, 0), (1, 1, 1)) == pytest.approx(3.998, abs=0.001)
    assert list(contrasts(side(text(rect(3, 3, 9, 6), colour=grey(0x59))))) == []
    assert list(contrasts(side(text(rect(3, 3, 9, 6), colour=grey(0x5A))))) == [
        "block b: contrast is 6.89 to 1, at least 7 to 1 is needed"
    ]


def test_text_beside_text_is_no_crossing_and_text_on_text_is():
    one = text(rect(3, 10, 20, 12))
    assert list(crossings(side(one, text(rect(20, 10, 30, 12))))) == []
    assert list(crossings(side(one, text(rect(3, 12, 20, 14))))) == []
    assert list(crossings(side(one, text(rect(15, 11, 30, 13), text="xy", block="d")))) == [
        'block b: "ab" and "xy" (block d) are printed over each other, 1.0 mm deep'
    ]


def test_lost_characters_are_counted_and_generated_ones_do_not_make_up_for_them():
    printed = text(rect(3, 3, 9, 6), text="a b")
    marker = text(rect(3, 3, 9, 6), text="c", generated=True)
    assert list(losses(side(printed, source=(("b", "ab"),)))) == []
    assert list(losses(side(printed, marker, source=(("b", "abc"),)))) == [
        "block b: 1 of 3 characters are not laid out"
    ]


def test_sides_missing_twice_or_unasked():
    one = side()
    assert list(spills([one], [("c", "front")])) == []
    assert list(spills([one, one], [("c", "front")])) == [
        "card c, front: runs over 2 pages",
    ]
    assert list(spills([one], [("d", "front")])) == [
        "card d, front: was not laid out",
        "card c, front: laid out though nobody asked for it",
    ]


def test_a_block_on_another_is_told_though_their_lines_fall_between_each_other():
    frames = [
        LaidOutItem(kind="block", block=name, rect=rect(3, top, 71, top + 20)) for name, top in (("b", 10), ("d", 30))
    ]
    assert list(overlaps(side(*frames))) == []
    moved = replace(frames[1], rect=rect(3, 27.5, 71, 50))
    assert list(overlaps(side(frames[0], moved))) == ["block d: 2.5 mm of it lie on block b"]
    assert list(overlaps(side(frames[0], replace(moved, block="foot")))) == []
