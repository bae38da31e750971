"""Imposed sheets: backs behind fronts, marks outside cards, and a bar that measures 50 mm."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from io import BytesIO
from itertools import combinations, product

import pytest
from pypdf import PdfReader

from builder.base.errors import FitError, RenderError
from builder.pages.blocks import Axis, Chart, Mark, Text
from builder.render.formats import FORMATS, PAPERS, SheetPlace
from builder.render.imposition import SheetLayout, plan
from builder.render.sheet_marks import crop_marks, fold_marks
from tests.render.raster import PX_A_MM, marks, rasters
from tests.render.samples import FIGURES, block, calibrator, card, entrant, limits, para
from tests.rendered import render_cards, render_sheets
from tests.trust.long import sample_of

MM = 72 / 25.4
BOTH = [(form, sheet) for form in FORMATS for sheet in PAPERS]
COUNTS = {
    **{("ID-1", sheet): 8 for sheet in PAPERS},
    **{("A7", sheet): 4 for sheet in PAPERS},
    **{("A6", sheet): 2 for sheet in PAPERS},
    ("3x5in", "A4"): 4,
    ("3x5in", "Letter"): 3,
    **{("A6-folded", sheet): 2 for sheet in PAPERS},
    **{("strip-4", sheet): 2 for sheet in PAPERS},
}
"""How many cards a sheet holds between its margins, counted on paper with a ruler."""


def overlap(one: SheetPlace, other: SheetPlace) -> bool:
    across = min(one.left + one.width, other.left + other.width) - max(one.left, other.left)
    down = min(one.top + one.height, other.top + other.height) - max(one.top, other.top)
    return across > 0 and down > 0


@pytest.mark.parametrize(("form", "sheet"), BOTH)
def test_cards_lie_apart_and_inside_the_paper(form, sheet):
    made = plan(FORMATS[form], PAPERS[sheet])
    assert len(made.fronts) == COUNTS[form, sheet]
    assert sorted((made.width, made.height)) == sorted((PAPERS[sheet].width, PAPERS[sheet].height))
    for place in (*made.fronts, *made.backs):
        assert (place.width, place.height) == (FORMATS[form].width, FORMATS[form].height)
        assert 10 <= place.left <= made.width - 10 - place.width
        assert 15.9 <= place.top <= made.height - 11.9 - place.height
    assert not any(overlap(*pair) for pair in combinations(made.fronts, 2))


@pytest.mark.parametrize(("form", "sheet"), BOTH)
def test_a_sheet_turned_over_its_long_edge_brings_each_back_behind_its_front(form, sheet):
    made = plan(FORMATS[form], PAPERS[sheet])
    for front, back in zip(made.fronts, made.backs, strict=True):
        corners = [(front.left, front.top), (front.left + front.width, front.top + front.height)]
        # Seen from behind: the long edge is the axis, so the other coordinate is reflected.
        if made.height > made.width:
            seen = [(made.width - x, y) for x, y in corners]
        else:
            seen = [(x, made.height - y) for x, y in corners]
        assert min(x for x, _ in seen) == pytest.approx(back.left, abs=0.001)
        assert min(y for _, y in seen) == pytest.approx(back.top, abs=0.001)


@pytest.mark.parametrize(("form", "sheet"), BOTH)
def test_crop_marks_point_at_corners_and_touch_no_card(form, sheet):
    made = plan(FORMATS[form], PAPERS[sheet])
    strokes = re.findall(r"M([\d.]+) ([\d.]+)([hv])(-?[\d.]+)", crop_marks(made.fronts))
    assert len(strokes) == 8 * len(made.fronts)
    edges_x = {round(x, 2) for place in made.fronts for x in (place.left, place.left + place.width)}
    edges_y = {round(y, 2) for place in made.fronts for y in (place.top, place.top + place.height)}
    for x, y, way, long in ((float(a), float(b), c, float(d)) for a, b, c, d in strokes):
        assert round(y if way == "h" else x, 2) in (edges_y if way == "h" else edges_x)
        width, height = (abs(long), 0.01) if way == "h" else (0.01, abs(long))
        left, top = (x + min(long, 0), y) if way == "h" else (x, y + min(long, 0))
        mark = SheetPlace(left=left, top=top, width=width, height=height)
        assert not any(overlap(mark, place) for place in made.fronts)
        assert left >= 0
        assert top >= 0


@pytest.mark.parametrize("short_edge", [False, True])
@pytest.mark.parametrize(("form", "sheet"), BOTH)
def test_backs_lie_behind_their_fronts_whichever_edge_is_turned(form, sheet, short_edge):
    made = plan(FORMATS[form], PAPERS[sheet], SheetLayout(short_edge=short_edge))
    turned_edge_is_vertical = (made.height > made.width) is not short_edge
    for front, back in zip(made.fronts, made.backs, strict=True):
        across = made.width - front.left - front.width if turned_edge_is_vertical else front.left
        along = front.top if turned_edge_is_vertical else made.height - front.top - front.height
        assert (back.left, back.top) == pytest.approx((across, along), abs=0.001)


@pytest.mark.parametrize(
    "setting", [SheetLayout(bleed=3), SheetLayout(lamination=5), SheetLayout(gutter=20), SheetLayout(gutter=0)]
)
@pytest.mark.parametrize(("form", "sheet"), BOTH)
def test_margins_bleed_and_gutter_are_kept_between_cards(form, sheet, setting):
    made = plan(FORMATS[form], PAPERS[sheet], setting)
    marks = [
        SheetPlace(
            left=float(x) + min(float(long), 0) * (way == "h"),
            top=float(y) + min(float(long), 0) * (way == "v"),
            width=abs(float(long)) if way == "h" else 0.2,
            height=abs(float(long)) if way == "v" else 0.2,
        )
        for x, y, way, long in re.findall(
            r"M([\d.]+) ([\d.]+)([hv])(-?[\d.]+)", crop_marks(made.fronts, setting.mark_off)
        )
    ]
    bled = [grown(place, setting.bleed - 0.001) for place in made.fronts]
    assert not any(overlap(*pair) for pair in combinations(bled, 2))
    assert not any(overlap(mark, place) for mark in marks for place in bled)
    laminated = [grown(place, setting.lamination - 0.001) for place in made.fronts]
    assert not any(overlap(*pair) for pair in combinations(laminated, 2))
    apart = [grown(place, setting.gutter / 2 - 0.001) for place in made.fronts]
    assert not any(overlap(*pair) for pair in combinations(apart, 2))


def grown(place: SheetPlace, by: float) -> SheetPlace:
    return SheetPlace(
        left=place.left - by, top=place.top - by, width=place.width + 2 * by, height=place.height + 2 * by
    )


@pytest.mark.parametrize(("form", "folds"), [("A6-folded", {"v": [74.0]}), ("strip-4", {"h": [53.98, 107.96, 161.94]})])
def test_fold_marks_stand_outside_the_card_on_the_line_of_each_fold(form, folds):
    card_place = SheetPlace(left=20, top=30, width=FORMATS[form].width, height=FORMATS[form].height)
    found = re.findall(r"M([\d.]+) ([\d.]+)([hv])(-?1)m", fold_marks(FORMATS[form], [card_place]))
    assert len(found) == 2 * sum(map(len, folds.values()))
    for x, y, way, step in ((float(a), float(b), c, int(d)) for a, b, c, d in found):
        along = x - 20 if way == "v" else y - 30
        assert any(along == pytest.approx(fold) for fold in folds[way])
        start, long = (y - 30, FORMATS[form].height) if way == "v" else (x - 20, FORMATS[form].width)
        assert start < 0 if step < 0 else start > long
    assert fold_marks(FORMATS["A7"], [card_place]) == ""


def word_boxes(data: bytes) -> list[list[tuple[str, float, float, float, float]]]:
    done = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=data, capture_output=True, check=True)
    word = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')
    return [
        [(text, *(float(number) / MM for number in numbers)) for *numbers, text in word.findall(page)]
        for page in done.stdout.decode().split("<page ")[1:]
    ]


def named(name, form="A7"):
    """A card with its name in the foot, which is at the same place on both sides."""
    one = card(name.lower(), (block("t", para("F")),), (block("t", para("B")),), form=form)
    return replace(one, foot=(Text(name),))


@pytest.fixture(scope="module")
def five():
    names = ("Alpha", "Beta", "Gamma", "Delta", "Epsilon", "Zeta", "Eta", "Theta")  # two full sheets
    cards = [named(name) for name in names]
    return names, render_sheets(cards, FIGURES, "A4")[0]


def test_printed_backs_register_with_printed_fronts(five):
    names, made = five
    pages = word_boxes(made.pdf)
    assert made.pages == len(pages) == 4
    assert made.cards == tuple(name.lower() for name in names)
    for number, name in enumerate(names):
        front, back = ({w[0]: w for w in page}[name] for page in pages[2 * (number // 4) : 2 * (number // 4) + 2])
        assert front[2] == pytest.approx(back[2], abs=0.01)
        left_front, left_back = front[1] - 4, back[1] - 4
        assert left_back == pytest.approx(210 - left_front - 74, abs=0.2)


@pytest.mark.parametrize(
    ("form", "paper_name", "short_edge"), sample_of(product(("A7", "A6"), PAPERS, (False, True)), 3)
)
def test_cards_turn_like_the_page_of_a_book_whichever_edge_the_printer_turns(form, paper_name, short_edge):
    """The foot of each back is at the same height of the paper as that of its front, read from the PDF itself.

    Each day a third of formats, papers and edges; `make trust` tries all.
    """
    names = ("Alpha", "Beta", "Gamma", "Delta")
    cards = [named(name, form) for name in names]
    made = render_sheets(cards, FIGURES, paper_name, setting=SheetLayout(short_edge=short_edge))[0]
    sizes = [(float(p.mediabox.width) / MM, float(p.mediabox.height) / MM) for p in PdfReader(BytesIO(made.pdf)).pages]
    pages = word_boxes(made.pdf)
    width, height = sizes[0]
    mirror_across = (height > width) is not short_edge
    per_sheet = len(plan(FORMATS[form], PAPERS[paper_name]).fronts)
    for number, name in enumerate(names):
        front, back = ({w[0]: w for w in page}[name] for page in pages[2 * (number // per_sheet) :][:2])
        seen = (width - back[3], back[2]) if mirror_across else (back[1], height - back[4])
        place = plan(FORMATS[form], PAPERS[paper_name]).fronts[number % per_sheet]
        assert seen[1] == pytest.approx(front[2], abs=0.05)
        from_left = front[1] - place.left
        assert place.left + place.width - (seen[0] + back[3] - back[1]) == pytest.approx(from_left, abs=0.05)


def test_copies_stand_side_by_side_and_each_is_measured():
    made = render_sheets([limits(), limits("other")], FIGURES, "A4", setting=SheetLayout(copies=5))[0]
    assert made.pages == 2
    titles = [sum(word[0] == "Wet" for word in page) for page in word_boxes(made.pdf)]
    assert titles == [8, 8], "the last sheet is filled"


def test_a_screen_reader_hears_every_copy_of_a_card_after_the_sheets_own_words(tmp_path):
    """Read by poppler through the tags, as ISO 32000-1, 14.7.4.2 has them inside drawings."""
    made = render_sheets([limits(), limits("other")], FIGURES, "A4")[0]
    path = tmp_path / "sheet.pdf"
    path.write_bytes(made.pdf)
    done = subprocess.run(["pdfinfo", "-struct-text", path], capture_output=True, check=True).stdout.decode()
    heard = [line.strip() for line in done.splitlines()]
    assert heard.count('"Wet well"') == 8
    assert heard.count("H1 (block)") == 8
    assert heard.index('"Print at 100 %, one side."') < heard.index('"Wet well"')
    names = re.findall(r"TH <([^>]+)>", done)
    assert names
    assert len(names) == len(set(names)), "each copy names its header cells otherwise"


def test_copies_of_a_card_with_a_chart_keep_their_names_apart():
    chart = Chart("Read", "Shown and true.", None, Axis("True", "%LEL"), (), (Mark("limit.flammable", "limit"),))
    one = card("c", (block("chart", chart),), (block("chart", chart),), form="A6")
    assert render_sheets([one], FIGURES, "A4", setting=SheetLayout(copies=3))[0].pages == 4


def test_no_word_of_a_sheet_lies_on_another():
    made = render_sheets([entrant(), limits(), calibrator()], FIGURES, "Letter")
    assert [one.format for one in made] == ["A7", "ID-1", "A6"]
    for page in (page for one in made for page in word_boxes(one.pdf)):
        assert len(page) > 30
        for one, other in combinations(page, 2):
            across = min(one[3], other[3]) - max(one[1], other[1])
            down = min(one[4], other[4]) - max(one[2], other[2])
            assert across < 0.2 or down < 0.9, (one, other)


def test_sheets_have_the_papers_size_and_no_backs_without_backs():
    made = render_sheets([limits(), calibrator()], FIGURES, "Letter", jobs=2)
    sizes = [
        [(float(p.mediabox.width), float(p.mediabox.height)) for p in PdfReader(BytesIO(one.pdf)).pages] for one in made
    ]
    assert sizes == [[pytest.approx((612, 792), abs=0.01)], [pytest.approx((792, 612), abs=0.01)] * 2]
    assert made == render_sheets([limits(), calibrator()], FIGURES, "Letter")


def test_the_bar_measures_fifty_millimetres_on_paper(five):
    resolution = 20
    dots = str(resolution * 25.4)
    done = subprocess.run(
        ["pdftoppm", "-gray", "-r", dots, "-l", "1", "-x", "0", "-y", "0", "-W", "1400", "-H", "220", "-"],
        input=five[1].pdf,
        capture_output=True,
        check=True,
    )
    head = re.match(rb"P5\s(\d+)\s(\d+)\s255\s", done.stdout)
    width, pixels = int(head[1]), done.stdout[head.end() :]
    rows = [pixels[start : start + width] for start in range(0, len(pixels), width)]
    longest = max(len(run) for row in rows for run in re.findall(rb"[\x00-\x7f]+", row))
    assert longest / resolution == pytest.approx(50, abs=0.3)


@pytest.mark.parametrize(("form", "paper_name"), [("A7", "A4"), ("3x5in", "A4"), ("ID-1", "Letter")])
@pytest.mark.parametrize("bleed", [0.0, 3.0])
def test_the_boxes_of_a_page_are_where_its_marks_stand(form, paper_name, bleed):
    """Boxes by one reader, marks by another; ISO 32000-1, 14.11.2 says what TrimBox and BleedBox are for."""
    cards = [named("Alpha", form)] if form != "ID-1" else [limits()]
    data = render_sheets(cards, FIGURES, paper_name, setting=SheetLayout(bleed=bleed))[0].pdf
    for page, drawn in zip(PdfReader(BytesIO(data)).pages, rasters(data), strict=True):
        across, down = marks(drawn)
        trim = [float(length) for length in page.trimbox]
        found = [across[0], drawn.height - down[-1], across[-1], drawn.height - down[0]]
        assert trim == pytest.approx([pixels / PX_A_MM * MM for pixels in found], abs=0.15 * MM)
        beyond = [edge + way * bleed * MM for edge, way in zip(trim, (-1, -1, 1, 1), strict=True)]
        assert [float(length) for length in page.bleedbox] == pytest.approx(beyond, abs=0.01)


def test_a_card_alone_is_trimmed_at_its_page():
    for page in PdfReader(BytesIO(render_cards([entrant()], FIGURES)[0].pdf)).pages:
        assert page.trimbox == page.bleedbox == page.mediabox


def test_a_card_that_does_not_fit_stops_its_sheet():
    bad = card("bad", (block("text", para("w" * 90)),))
    with pytest.raises(FitError, match=r"card bad, front \(en\), block text: .* mm right of the safe area"):
        render_sheets([limits(), bad], FIGURES, "A4")


def test_unknown_paper_is_refused():
    with pytest.raises(RenderError, match="unknown paper 'A3'; allowed: A4, Letter"):
        render_sheets([limits()], FIGURES, "A3")
