"""A site's own colour and logo: refused where they are read badly, and printed on pages and covers."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from builder import pipeline
from builder.base.errors import ContentError
from builder.program.look import DARK, LIGHT
from builder.render.html import ACCENT, ACCENT_DARK, HtmlRenderer, site_assets
from builder.render.markup import SiteFacts
from builder.render.templates import fill, stylesheet

SITES = Path(__file__).parent.parent / "sites"
DAY = date(2026, 11, 25)
LOOK = 'look: {accent: "#7a2e1d", accent-dark: "#e8a08f", logo: logo.svg, logo-text: Example Yards}'


@pytest.fixture
def own(tmp_path):
    for name in ("own", "minimal"):
        shutil.copytree(SITES / name, tmp_path / name)
    return tmp_path / "own"


def fault(own, look):
    path = own / "site.yaml"
    text = path.read_text(encoding="utf-8")
    assert text.count(LOOK) == 1
    path.write_text(text.replace(LOOK, f"look: {{{look}}}"), encoding="utf-8")
    with pytest.raises(ContentError) as caught:
        pipeline.judge(own, DAY)
    (line,) = [str(problem) for problem in caught.value.problems]
    return line


def test_grounds_and_accents_are_those_of_the_style_sheet():
    css = stylesheet("site.css")
    found = {name: re.findall(f"--{name}: (#[0-9a-f]{{6}});", css) for name in ("ground", "watermark", "accent")}
    assert found["accent"] == [ACCENT, ACCENT_DARK]
    assert set(LIGHT) == {"#ffffff", found["ground"][0], found["watermark"][0]}
    assert set(DARK) == {found["ground"][1], found["watermark"][1]}


@pytest.mark.parametrize(
    ("look", "said"),
    [
        ('accent: "#ffcc00", accent-dark: "#93c5cd"', "#ffcc00 on #f3ecdf has a contrast of 1.28:1; allowed: at least"),
        ('accent: "#1d5560", accent-dark: "#1d5560"', "#1d5560 on #23201c has a contrast of 1."),
        ('accent: red, accent-dark: "#93c5cd"', "'red' is no colour; allowed: six digits"),
        ('accent: "#1d5560"', "an accent for light or for dark screens alone; allowed: accent and accent-dark"),
        ("logo: logo.svg", "a logo without words, or words alone"),
        ("logo: loga.svg, logo-text: x", "no picture templates/loga.svg; allowed: one of logo.svg; nearest: logo.svg"),
        ("acent: x", "unknown key 'acent' in look"),
    ],
)
def test_what_cannot_be_read_is_refused_with_the_nearest_that_can(look, said, own):
    line = fault(own, look)
    assert line.startswith("site.yaml:7: ")
    assert said in line


def test_the_nearest_colour_that_is_told_is_taken(own):
    near = re.search("nearest: (#[0-9a-f]{6})", fault(own, 'accent: "#ffcc00", accent-dark: "#93c5cd"'))[1]
    path = own / "site.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("#ffcc00", near), encoding="utf-8")
    assert pipeline.judge(own, DAY).program.site.look.accent == near


def test_pages_and_covers_have_them(own):
    judged = pipeline.judge(own, DAY)
    facts = pipeline.site_facts(judged, draft=True)
    assets = site_assets(facts["look"])
    css = assets["assets/site.css"].decode()
    assert re.findall("--accent: (#[0-9a-f]{6});", css) == ["#7a2e1d", "#e8a08f"]
    assert assets["assets/logo.svg"].startswith(b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 40"')
    composed = pipeline.compose(judged)
    page = next(page for page in composed.pages if page.id == "area:pit")
    html = HtmlRenderer(judged.ledger.figures, composed.hrefs, (), SiteFacts(**facts)).render(page)
    assert '<img class="logo" src="../assets/logo.svg" alt="Example Yards">' in html
    book = {"title": "Field book", "purpose": "To be carried."}
    cover = fill(
        "html/front.html", facts=SiteFacts(**facts), book=book, framed={}, contents=(), caution="", invented=""
    )
    assert '<img src="data:image/svg+xml;base64,' in cover
    assert 'style="border-color: #7a2e1d"' in cover


def test_without_a_look_all_is_as_ever():
    assets = site_assets()
    assert assets["assets/site.css"] == stylesheet("site.css").encode()
    assert not [path for path in assets if "logo" in path]
