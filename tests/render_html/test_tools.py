"""Forms and scripts as they are written: exact factors, hidden without script, nothing on paper."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction

import pytest

from builder.base.errors import RenderError
from builder.base.rounding import Direction, Rounding
from builder.figures.ledger import Ledger
from builder.pages.compositions import Page
from builder.pages.handbook.entries import LookupEntry
from builder.pages.handbook.figure_words import figure_words
from builder.pages.reader_tools import Converter, Correction, Corrector, ToolScale
from builder.render.html import HtmlRenderer, site_assets
from builder.render.markup import Marker
from builder.render.scripts import EVERYWHERE, EXACT, TOOLS, index_script
from builder.render.templates import environment
from tests.render.samples import figure as sample_figure
from tests.render_html.reading import Reader

RISING = Rounding(direction=Direction.UP, why="test", step=Fraction(1, 2), cap=Fraction(100))
CORRECTION = Correction(
    gas="Propane", channel="Flammable gas", factor="factor", like="like", full_scales=("scale", "small-scale")
)
CORRECTOR = Corrector(area="Wet <b>well</b>", corrections=(CORRECTION,))
CONVERTER = Converter(
    scales=(
        ToolScale(
            gas="Methane", ppm_of_one=(("ppm", Fraction(1)), ("mg/m3", Fraction(10, 7)), ("%LEL", Fraction(440)))
        ),
    ),
    rounding=Rounding(direction=Direction.NEAREST, why="test", digits=3),
)


@pytest.fixture(scope="module")
def figures(sample):
    like = sample.figures["setpoint.wet-well.flammable.low"]
    return {
        "factor": replace(like, key="factor", exact=Fraction(19, 10), text="1.9", unit=""),
        "like": replace(like, key="like", rounding=RISING),
        "scale": replace(like, key="scale", exact=Fraction(100)),
        "small-scale": replace(like, key="small-scale", exact=Fraction(60)),
    }


def rendered(sample, figures, *blocks, hrefs=None):
    page = Page(id="page:one", path="notes/one.html", title="One", section="home", blocks=blocks)
    return Reader(HtmlRenderer(figures, hrefs or sample.hrefs, sample.sections, sample.facts()).render(page))


def test_a_corrector_carries_factor_range_and_rounding_exactly(sample, figures):
    read = rendered(sample, figures, CORRECTOR)
    assert "hidden" in read.one("form", "corrector").attributes
    assert read.one("legend").text == "Correct a reading in: Wet <b>well</b>"
    assert read.one("option").attributes == {
        "data-gas": "Propane",
        "data-unit": "%LEL",
        "data-factor": "19/10",
        "data-factor-printed": "1.9",
        "data-top": "100",
        "data-full": "60",
        "data-direction": "up",
        "data-step": "1/2",
        "data-cap": "100",
    }
    assert [script.attributes["src"] for script in read.all("script")] == [f"../{EXACT}", f"../{TOOLS}"]


def test_a_converter_carries_the_scale_of_every_unit(sample, figures):
    read = rendered(sample, figures, CONVERTER)
    (gas, *units) = read.all("option")
    assert gas.attributes["data-of-mg-m3"] == "10/7"
    assert gas.attributes["data-of-percent-lel"] == "440"
    assert [unit.text for unit in units] == ["ppm", "mg/m³", "%LEL"]
    assert [cell.attributes["data-to"] for cell in read.all("dd")] == [unit.attributes["value"] for unit in units]


def test_paper_has_no_form(figures):
    marker = Marker(figures, str, page="page:one", paper=True)
    template = environment().from_string('{% from "html/blocks.html" import blocks %}{{ blocks(nodes, at) }}')
    assert template.render(nodes=(CORRECTOR, CONVERTER), at=marker).strip() == ""


@pytest.mark.parametrize(
    "change",
    [{"factor": "missing"}, {"like": "missing"}, {"like": "scale"}, {"full_scales": ()}],
    ids=["factor", "like", "rounding", "range"],
)
def test_a_correction_that_lacks_something_is_refused(sample, figures, change):
    with pytest.raises(RenderError, match=r"missing|no rounding or no range"):
        rendered(sample, figures, Corrector(area="Pit", corrections=(replace(CORRECTION, **change),)))


def test_the_search_field_stands_where_the_site_has_an_index(sample, figures):
    assert not rendered(sample, figures).all("form")
    form = rendered(sample, figures, hrefs=sample.hrefs | {"page:search": "search.html"}).one("form", "search")
    assert (form.attributes["action"], form.attributes["method"]) == ("../search.html", "get")


def test_every_script_is_a_strict_file_without_libraries_or_requests():
    scripts = {path: data.decode() for path, data in site_assets().items() if path.endswith(".js")}
    assert set(scripts) >= {*EVERYWHERE, EXACT, TOOLS}
    for path, text in scripts.items():
        code = [line for line in text.splitlines() if line and not line.startswith("//")]
        assert code[0] == '"use strict";', path
        for word in ("fetch(", "XMLHttpRequest", "innerHTML", "eval(", "import(", "http:", "https:", "localStorage"):
            assert word not in text, (path, word)
        assert len(data := text.encode()) < 18_000, (path, len(data))


def test_the_index_shares_folders_and_endings():
    names = ("d-1", "d-2", "d-3")
    entries = tuple(LookupEntry(reference=f"unit:{name}", title=name, words=("S",)) for name in names)
    hrefs = {f"unit:{name}": f"units/{name}.html" for name in names}
    keys = [f"unit.{name}.{tail}" for name in names for tail in ("bump.due", "bump.last")]
    figures = {key: replace(sample_figure(key, "1"), label="Day of the bump test") for key in [*keys, "site.pressure"]}
    words = figure_words(Ledger(figures=figures, aliases={}, names={}), {})
    text = index_script(entries, hrefs, words).decode()
    index = json.loads(text.partition('handbook.take("index",')[2].strip().removesuffix(");"))
    assert index["entries"] == [[2, name, "S"] for name in names]
    assert index["kinds"][2] == ["Unit", "units"]
    assert index["tails"] == ["pressure=bump day test", "bump.due=day test;bump.last=day test"]
    assert index["figures"] == [["site", 0, ""], ["unit", 1, "d-1 d-2 d-3"]]
