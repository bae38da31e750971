"""Printing of labels and log sheets simulated: drawn, measured with a ruler of pixels, cut along their outlines."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from itertools import pairwise

import pytest
from PIL import Image

from builder.pages.forms import log_sheets
from builder.pages.labels import unit_labels
from builder.render.formats import PAPERS, paper
from builder.render.imposition import die_cut, whole_page
from builder.render.sheet_marks import Bar
from tests.render.paper_site import judged_papers
from tests.render.raster import DARK, DPI, PX_A_MM, rasters, unlike
from tests.render.test_labels import GRIDS, many, set_on
from tests.rendered import render_forms, render_labels
from tests.trust.long import sample_of

ALIKE = 40
"""As for cards: above what half a pixel of shift does, below what a wrong number or a moved line does."""
MM = 72 / 25.4
"""Points of poppler's boxes."""
APART_MM = 1.5
"""Between what is written on and the boxes below it; common practice, no source."""
ROW_MM = 8
"""Least height of a line to write in by hand: ruled paper for handwriting has 7 to 8 mm; common practice, no source."""
FAINT = 215
"""Mean of pixels across a hairline that runs most of the way."""
FINE = 300
"""Dots an inch where lines are found: hairlines of 0.14 mm."""


@pytest.fixture(scope="module")
def judged(tmp_path_factory):
    return judged_papers(tmp_path_factory.mktemp("papers") / "site")


@pytest.fixture(scope="module")
def labels(judged):
    made = unit_labels(judged.computed, draft=True)
    return {unit: replace(label, lines=label.lines[:2]) for unit, label in made.items()}


def runs(pixels: list[int], most: int = DARK) -> list[tuple[int, int]]:
    """Where unbroken dark runs begin and end."""
    found, start = [], None
    for at, value in enumerate([*pixels, 255]):
        if value < most and start is None:
            start = at
        elif value >= most and start is not None:
            found.append((start, at))
            start = None
    return found


def bar_mm(page: Image.Image, bar: Bar, dpi: int = DPI) -> float:
    """The longest dark run beside where the bar should stand, in millimetres of paper."""
    px = dpi / 25.4
    rows = range(round((bar.top - 1.5) * px), round((bar.top + 1.5) * px))
    lines = (runs(list(page.crop((0, y, page.width, y + 1)).tobytes())) for y in rows)
    return max(b - a for line in lines for a, b in line) / px


# ---- labels ------------------------------------------------------------------------


def outlined(trial: Image.Image, grid) -> list[tuple[float, float, float, float]]:
    """The places of labels as the page of outlines shows them, found by its ink alone, row by row."""
    _, _, right, bottom = trial.point(lambda value: 255 if value < FAINT else 0).getbbox()
    near, far = round(2 * PX_A_MM), round(5 * PX_A_MM)
    below = trial.crop((0, bottom - far, trial.width, bottom - near)).resize((trial.width, 1), Image.Resampling.BOX)
    beside = trial.crop((right - far, 0, right - near, trial.height)).resize((1, trial.height), Image.Resampling.BOX)
    edges = []
    for strip, count in zip((below, beside), (grid.columns, grid.rows), strict=True):
        lines = [(a + b) / 2 for a, b in runs(list(strip.tobytes()), FAINT)]
        shared = len(lines) == count + 1
        pairs = list(pairwise(lines)) if shared else list(zip(lines[::2], lines[1::2], strict=True))
        assert len(pairs) == count
        edges.append(pairs)
    return [(left, top, right, bottom) for top, bottom in edges[1] for left, right in edges[0]]


@pytest.mark.parametrize("grid", sample_of(GRIDS, 3), ids=lambda grid: grid.id)
def test_every_piece_cut_along_the_outlines_is_the_label_itself(judged, labels, grid):
    """Each label alone is drawn at the corner of an empty paper and compared with the piece of the full sheet.

    Each day a third of the sheets; `make trust` takes all.
    """
    made = [
        replace(one, name=f"{'wm'[number % 2]}{one.name}", code="WMIXOAT"[number % 7] * 9)
        for number, one in enumerate(many(labels, grid.columns * grid.rows))
    ]
    (done,) = render_labels([set_on(grid, made)], judged.ledger.figures)
    sheet, trial = rasters(done.pdf)
    places = outlined(trial, grid)
    corner = replace(grid, columns=1, rows=1, left=0, top=0)
    for at in (0, grid.columns - 1, len(made) // 2, len(made) - 1):
        (single,) = render_labels([set_on(corner, [made[at]])], judged.ledger.figures)
        alone = rasters(single.pdf)[0].crop((0, 0, round(grid.width * PX_A_MM), round(grid.height * PX_A_MM)))
        piece = sheet.crop(tuple(round(edge) for edge in places[at]))
        assert unlike(piece, alone) < ALIKE
        other = sheet.crop(tuple(round(edge) for edge in places[at - 1]))
        assert unlike(other, alone) > ALIKE, "another unit is told apart"


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.id)
def test_outlines_lie_where_the_maker_of_the_sheet_states(judged, labels, grid):
    (done,) = render_labels([set_on(grid, many(labels, 1))], judged.ledger.figures)
    for number, (left, top, right, bottom) in enumerate(outlined(rasters(done.pdf)[-1], grid)):
        row, column = divmod(number, grid.columns)
        stated = (grid.left + column * (grid.width + grid.gap_x), grid.top + row * (grid.height + grid.gap_y))
        assert (left / PX_A_MM, top / PX_A_MM) == pytest.approx(stated, abs=0.2)
        assert ((right - left) / PX_A_MM, (bottom - top) / PX_A_MM) == pytest.approx((grid.width, grid.height), abs=0.2)


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.id)
def test_the_bar_on_labels_is_50_mm_and_tells_a_scaled_sheet(judged, labels, grid):
    (done,) = render_labels([set_on(grid, many(labels, 1))], judged.ledger.figures)
    bar = die_cut(grid, paper(grid.paper)).bar
    for number, page in enumerate(rasters(done.pdf)):
        if bar is not None:
            assert bar_mm(page, bar) == pytest.approx(50, abs=0.3)
            small = page.resize((round(page.width * 0.97), round(page.height * 0.97)))
            assert bar_mm(small, replace(bar, top=bar.top * 0.97)) == pytest.approx(48.5, abs=0.3)
        elif number == 1:
            assert bar_mm(page, Bar(top=paper(grid.paper).height / 2)) == pytest.approx(50, abs=0.3)


# ---- log sheets --------------------------------------------------------------------


def lines_across(strip: Image.Image) -> list[float]:
    """How far down lines run through a narrow strip, in millimetres at ``FINE``."""
    mean = strip.resize((1, strip.height), Image.Resampling.BOX)
    return [(a + b) / 2 / (FINE / 25.4) for a, b in runs(list(mean.tobytes()), FAINT)]


@pytest.mark.parametrize("name", ["daily-pit", "calibration-pit", "look-pit"])
@pytest.mark.parametrize("size", PAPERS)
def test_lines_to_write_in_are_at_least_eight_millimetres_on_paper(judged, size, name):
    sheet = next(one for one in log_sheets(judged.computed, draft=False).papers if one.id == name)
    (form,) = render_forms([replace(sheet, paper=size)], judged.ledger.figures)
    page = rasters(form.pdf, FINE)[0]
    plan, px = whole_page(paper(size)), FINE / 25.4
    assert (page.width / px, page.height / px) == pytest.approx((plan.width, plan.height), abs=0.2)
    at = plan.fronts[0].left + 30 + 11.5  # in the column for day and time, of which only the head has words
    column = page.crop((round(at * px), 0, round((at + 8) * px), page.height))
    end = plan.fronts[0].top + plan.fronts[0].height - 1
    lines = [line for line in lines_across(column) if line < end]
    (group,) = sheet.groups
    heights = [b - a for a, b in pairwise(lines)][-len(group.lines) :]
    assert len(heights) == len(group.lines)
    assert min(heights) >= ROW_MM
    assert max(heights) < ROW_MM + 0.5, "the lines found are those between rows"


def test_each_line_has_its_boxes_to_tick_under_their_head(judged):
    """Three for what an alarm does, under the word that the head of their column begins with; found by poppler."""
    sheet = next(one for one in log_sheets(judged.computed, draft=False).papers if one.id == "daily-pit")
    (form,) = render_forms([sheet], judged.ledger.figures)
    page, px = rasters(form.pdf, FINE)[0], FINE / 25.4
    done = subprocess.run(["pdftotext", "-bbox", "-l", "1", "-", "-"], input=form.pdf, capture_output=True, check=True)
    told = done.stdout.decode()
    (left,) = (float(x) / MM for x in re.findall(r'xMin="([\d.]+)"[^>]*>Sounds,<', told))
    middles = [(float(top) + float(low)) / 2 / MM
               for top, low in re.findall(r'yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">F<', told)]  # fmt: skip
    assert len(middles) >= len(sheet.groups[0].lines)
    for box in range(3):
        at = left + box * 3.65 + 0.7  # inside a box of 2.95 mm, 0.7 mm before the next
        strip = page.crop((round(at * px), 0, round((at + 1.5) * px), page.height))
        edges = lines_across(strip)
        for middle in middles:
            near = [edge for edge in edges if abs(edge - middle) < 4]
            assert near[1] - near[0] == pytest.approx(2.78, abs=0.2), "its upper and lower edge"
            assert (near[0] + near[1]) / 2 == pytest.approx(middle, abs=0.5), "in the middle of its line"


@pytest.mark.parametrize("size", PAPERS)
def test_the_boxes_to_sign_in_stand_on_every_page_of_a_log_sheet(judged, size):
    sheet = next(one for one in log_sheets(judged.computed, draft=True).papers if one.id == "daily-pit")
    (group,) = sheet.groups
    long = replace(sheet, paper=size, groups=(replace(group, lines=group.lines * 6),))
    (form,) = render_forms([long], judged.ledger.figures)
    plan, px = whole_page(paper(size)), FINE / 25.4
    pages = rasters(form.pdf, FINE)
    assert len(pages) > 1
    for page in pages:
        x = round((plan.width - 30) * px)
        below = plan.fronts[0].top + plan.fronts[0].height - 1.5
        strip = page.crop((x, round(below * px), x + round(8 * px), round((plan.height - 7) * px)))
        edges = lines_across(strip)
        assert edges[-1] - edges[0] >= ROW_MM
        top = [edge for edge in edges if edges[-1] - edge > ROW_MM - 0.5][-1]
        assert top - 1.5 >= APART_MM, "no line to write on seems to belong to the boxes"


def boxes(pdf: bytes, page: int = 1) -> dict[str, tuple[float, float, float, float]]:
    """Where each word first stands on a page, in millimetres: left, top, right, bottom; found by poppler."""
    asked = ["pdftotext", "-bbox", "-f", str(page), "-l", str(page), "-", "-"]
    told = subprocess.run(asked, input=pdf, capture_output=True, check=True).stdout.decode()
    found = re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]*)<', told)
    return {word: tuple(float(number) / MM for number in box) for *box, word in reversed(found)}


@pytest.mark.parametrize("size", PAPERS)
def test_what_is_asked_once_a_sheet_has_room_for_a_hand(judged, size):
    sheet = next(one for one in log_sheets(judged.computed, draft=False).papers if one.id == "daily-pit")
    asks = ("Units used", "Bump test passed today", "Last flame at", "Watch until")
    (form,) = render_forms([replace(sheet, paper=size, asks=asks)], judged.ledger.figures)
    page, px, at = rasters(form.pdf, FINE)[0], FINE / 25.4, boxes(form.pdf)
    for word in (ask.split()[-1] for ask in asks):
        _, top, right, bottom = at[word]
        begin, wide = right + 1.5, 15  # for a time or two initials; common practice, no source
        strip = page.crop(
            (round(begin * px), round((top - 10) * px), round((begin + wide) * px), round((bottom + 1) * px))
        )
        *_, line = lines_across(strip)
        assert line + top - 10 == pytest.approx(bottom, abs=1), "on the line of its words"
        above = strip.crop((0, round((line - ROW_MM + 1) * px), strip.width, round((line - 0.3) * px)))
        assert min(above.tobytes()) > FAINT, word


def test_of_lines_on_other_pages_nothing_shows_above_the_head_of_a_table(judged):
    """Their picture is cut off where the head begins; pixels there that were half its own and half white showed it."""
    sheet = next(one for one in log_sheets(judged.computed, draft=False).papers if one.id == "daily-pit")
    (group,) = sheet.groups
    (form,) = render_forms([replace(sheet, groups=(replace(group, lines=group.lines * 6),))], judged.ledger.figures)
    page, px = rasters(form.pdf)[-1], PX_A_MM
    top = boxes(form.pdf, 2)["cylinder"][1]
    assert boxes(form.pdf, 2)["Unit,"][1] > top
    assert min(page.crop((0, round((top - 1.5) * px), page.width, round((top + 0.4) * px))).tobytes()) == 255
