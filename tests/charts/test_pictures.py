"""A chart's picture says what its figures say, by dash, marker and name, in any ink and the same each time."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise

import pytest

from builder.base.errors import RenderError
from builder.pages.blocks import Axis, Chart, Line, Mark
from builder.render.plot import Size
from builder.render.svg import PAPER, SCREEN, STYLES
from tests.charts.conftest import SHOWN, number, true_chart, true_figures
from tests.each import each
from tests.render.samples import figure

GASES = {f"g{n}": Fraction(10 + 3 * n, 10) for n in range(8)}
HOSTILE = '</text><script>alert("1")</script>&\'x'


def test_a_point_read_back_by_the_picture_s_own_numbers_is_the_printed_figure(drawn):
    figures = true_figures(a=Fraction("1.7"), b=Fraction("2.3"))
    picture = drawn(true_chart("a", "b"), figures)
    across, along = picture.grid()
    ups = [number(text) for text, _, _ in picture.words("y-tick")]
    rights = [(number(text), x) for text, x, _ in picture.words("x-tick")]
    assert [x for _, x in rights] == along
    for gas, path in zip("ab", picture.paths("line"), strict=True):
        for n, (x, y) in zip((0, *SHOWN), path, strict=True):
            shown = (x - along[0]) / (along[-1] - along[0]) * rights[-1][0]
            true = (across[0] - y) / (across[0] - across[-1]) * ups[-1]
            printed = figures[f"true.{gas}.{n}"].text if n else "0"
            assert shown == pytest.approx(n, abs=0.01)
            assert true == pytest.approx(float(printed), abs=0.01)


def test_markers_stand_on_the_points_of_their_line(drawn):
    picture = drawn(true_chart("a"), true_figures(a=Fraction(2)))
    centres = [(float(one.get("cx")), float(one.get("cy"))) for one in picture.all("circle", "marker")]
    assert centres == picture.paths("line")[0][1:]


def test_a_value_over_the_scale_ends_its_line_at_the_cap_with_an_arrow_and_says_so(drawn):
    # 30 x 2 = 60 and 30 x 5 = 150: the line crosses 100 at 2 + 3 x 40 / 90 = 3.333 on the way to 5.
    picture = drawn(true_chart("a"), true_figures(a=Fraction(30)))
    (path,) = picture.paths("line")
    assert len(path) == 4
    across, along = picture.grid()
    rights = [number(text) for text, _, _ in picture.words("x-tick")]
    shown = (path[-1][0] - along[0]) / (along[-1] - along[0]) * rights[-1]
    assert shown == pytest.approx(10 / 3, abs=0.01)
    assert path[-1][1] == across[-1]
    assert len(picture.all("polygon", "arrow")) == 1
    assert " ".join(text for text, _, _ in picture.words("label")) == "a, over\u00a0100"


def test_logarithmic_points_read_back_as_printed(drawn):
    figures = {key: figure(key, text, unit) for key, text, unit in (
        ("c.1", "30", "ppm"), ("c.2", "50", "ppm"), ("c.3", "200", "ppm"),
        ("t.1", "8", "h"), ("t.2", "4.8", "h"), ("t.3", "1.2", "h"),
    )}  # fmt: skip
    points = tuple((f"c.{n}", f"t.{n}") for n in (1, 2, 3))
    chart = Chart("T", "D", Axis("C", "ppm", log=True), Axis("Time", "h", log=True), (Line("alarm", points),))
    picture = drawn(chart, figures)
    across, along = picture.grid()
    ups = [number(text) for text, _, _ in picture.words("y-tick")]
    rights = [number(text) for text, _, _ in picture.words("x-tick")]
    (path,) = picture.paths("line")
    for (x, y), (concentration, hours) in zip(path, ((30, 8), (50, 4.8), (200, 1.2)), strict=True):
        share_x, share_y = (x - along[0]) / (along[-1] - along[0]), (across[0] - y) / (across[0] - across[-1])
        assert rights[0] * (rights[-1] / rights[0]) ** share_x == pytest.approx(concentration, rel=1e-3)
        assert ups[0] * (ups[-1] / ups[0]) ** share_y == pytest.approx(hours, rel=1e-3)
    # t = 8 L / C: on two logarithmic axes the three points lie on one straight line
    (x1, y1), (x2, y2), (x3, y3) = path
    assert (y2 - y1) / (x2 - x1) == pytest.approx((y3 - y1) / (x3 - x1), rel=2e-3)


def test_title_description_and_units_are_there_and_named(drawn):
    picture = drawn(true_chart("a", title="What it means"), true_figures(a=Fraction(2)), name="p--chart-1")
    root = picture.root
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "p--chart-1-title p--chart-1-desc"
    named = {one.get("id"): one.text for one in root if one.get("id")}
    assert named == {"p--chart-1-title": "What it means", "p--chart-1-desc": "Up, then left."}
    assert [text for text, _, _ in picture.words("x-title")] == ["Display shows, %LEL"]
    assert [text for text, _, _ in picture.words("y-title")] == ["Really there, %LEL"]


def test_lines_differ_in_dash_and_in_marker_so_that_grey_is_enough(drawn):
    picture = drawn(true_chart(*GASES), true_figures(**GASES))
    dashes = [one.get("stroke-dasharray", "solid") for one in picture.all("polyline", "line")]
    assert len(dashes) == len(GASES)
    assert len(set(dashes)) == len(GASES)
    assert all((one[0], one[1:]) != (two[0], two[1:]) for one, two in combinations(STYLES, 2))
    assert len({style[1:] for style in STYLES}) == len(STYLES)
    assert {one.get("stroke") for one in picture.all("polyline", "line")} == {"#111"}


def test_paper_has_three_greys_and_the_screen_takes_the_colour_of_its_text(drawn):
    figures = true_figures(a=Fraction(2), b=Fraction(3))
    assert set(re.findall(r"#\w+", drawn(true_chart("a", "b"), figures).text)) == {"#111", "#fff", "#bbb"}
    screen = drawn(true_chart("a", "b"), figures, look=SCREEN).text
    assert "#" not in screen
    assert 'fill="currentColor"' in screen
    assert "style=" not in screen


def test_every_text_names_the_face_since_pictures_do_not_inherit_it(drawn):
    texts = drawn(true_chart("a"), true_figures(a=Fraction(2))).all("text")
    assert len(texts) > 8
    assert {one.get("font-family") for one in texts} == {"Handbook Sans"}


@pytest.mark.parametrize("size", [Size(width=130, height=62, text=3.2), Size(width=68, height=35, text=2.68)])
def test_names_beside_lines_do_not_lie_on_each_other(drawn, size):
    close = {f"g{n}": Fraction(100 + 12 * n, 100) for n in range(7)}
    picture = drawn(true_chart(*close), true_figures(**close), size=size)
    baselines = sorted(y for _, _, y in picture.words("label"))
    assert len(baselines) > 3
    assert all(lower - upper >= 1.15 * size.text for upper, lower in pairwise(baselines))
    assert baselines[-1] < picture.grid()[0][0] + size.text


def test_lines_that_lie_on_each_other_are_one_line_under_both_names(drawn):
    picture = drawn(true_chart("a", "b"), true_figures(a=Fraction(2), b=Fraction(2)))
    assert len(picture.paths("line")) == 1
    assert [text for text, _, _ in picture.words("label")] == ["a,", "b"]


def test_hostile_names_stay_text(drawn):
    chart = true_chart("a", names={"a": HOSTILE}, title=HOSTILE)
    chart = replace(chart, description=HOSTILE, x=Axis(HOSTILE, "%LEL"))
    picture = drawn(chart, true_figures(a=Fraction(2)), name='x" onload="1')
    assert "<script" not in picture.text
    assert picture.all("script") == []
    assert picture.root.get("onload") is None
    assert picture.all("title")[0].text == HOSTILE
    assert picture.all("desc")[0].text == HOSTILE
    assert "".join(text for text, _, _ in picture.words("label")) == HOSTILE


def test_the_same_chart_gives_the_same_text_whatever_the_hash_seed():
    code = (
        "from tests.charts.conftest import *; from fractions import Fraction;"
        "print(chart_svg(true_chart('a', 'b'), true_figures(a=Fraction(2), b=Fraction(3)), BOOK, PAPER, 'c'))"
    )
    made = [
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": "."},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert made[0] == made[1]
    assert made[0].startswith(b"<svg ")


def test_coordinates_have_two_decimals_at_most(drawn):
    text = drawn(true_chart(*GASES), true_figures(**GASES)).text
    assert re.search(r"\d\.\d", text)
    assert not re.search(r"\d\.\d{3}", text)


def test_a_ladder_prints_each_value_beside_its_rung_in_rising_order(drawn):
    figures = {
        "a": figure("a", "10", "ppm"), "b": figure("b", "0.5", "%vol"), "c": figure("c", "100", "ppm", ">"),
    }  # fmt: skip
    marks = (Mark("a", "Low", "alarm"), Mark("b", "LEL", "fire"), Mark("c", "List", "limit"))
    picture = drawn(Chart("L", "D", None, Axis("Gas", "ppm", log=True), marks=marks), figures)
    labels = sorted(picture.words("label"), key=lambda word: -word[2])
    printed = [text.replace("\u00a0", " ") for text, _, _ in labels]
    assert printed == ["Low: 10 ppm", "List: > 100 ppm", "LEL: 0.5 %vol"]
    across, _ = picture.grid()
    levels = {
        one.get("class"): float(one.get("points").split(",")[1].split()[0])
        for one in picture.all("polyline")
        if one.get("class") != "leader"
    }
    ticks = {text: y for text, _, y in picture.words("y-tick")}
    decade = (ticks["10"] - ticks["1000"]) / 2
    # from 10 ppm it is one decade to 100 ppm, and log10(500) = 2.69897 decades to 0.5 %vol, which is 5000 ppm
    assert levels["alarm"] == across[0]
    assert (across[0] - levels["limit"]) / decade == pytest.approx(1, abs=1e-3)
    assert (across[0] - levels["fire"]) / decade == pytest.approx(2.69897, abs=1e-3)
    assert len({one.get("class") for one in picture.all("circle") + picture.all("polygon")}) == 3


@each(
    ("chart", "message"),
    [
        (true_chart("missing"), "no figure has the key 'true.missing.1'"),
        (replace(true_chart("a"), y=Axis("Mass", "mg/m3")), "true.a.1 is in %LEL; its axis is in mg/m3"),
        (replace(true_chart("a"), lines=()), "neither lines nor marks"),
        (replace(true_chart("a"), x=None), "has lines and no x axis"),
        (replace(true_chart("a"), x=Axis("X", "%LEL", log=True)), "begins at zero"),
        (true_chart("a", names={"a": "W" * 90}), "names leave too little room"),
        (replace(true_chart("a"), marks=(Mark("nowhere", "Rule"),)), "no figure has the key 'nowhere'"),
    ],
)
def test_a_chart_that_cannot_be_drawn_faithfully_is_refused(drawn, chart, message):
    with pytest.raises(RenderError, match=re.escape(message)):
        drawn(chart, true_figures(a=Fraction(2)))


def test_more_lines_than_can_be_told_apart_are_refused(drawn):
    many = {f"g{n}": Fraction(10 + 3 * n, 10) for n in range(len(STYLES) + 1)}
    with pytest.raises(RenderError, match="more than 8 lines"):
        drawn(true_chart(*many), true_figures(**many), look=PAPER)
