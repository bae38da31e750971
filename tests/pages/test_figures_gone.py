"""Figures in prose that records take away: the site is still built, says that they are not known, and is told so."""

from __future__ import annotations

import shutil

import pytest

from builder.base.errors import ContentError
from builder.findings.rules.card_words import figure_not_known
from builder.pages.blocks import Absent, Fig
from builder.pipeline import compose, judge
from tests.pages.conftest import AS_OF, SITES

DUE = "unit.d-001.calibration.due"
FAILED = "unit,time,kind,sensor,cylinder,as-found,as-left,result,by\nd-001,2026-11-24T10:00Z,calibration,,,,,fail,kd\n"


@pytest.fixture
def content(tmp_path):
    folder = shutil.copytree(SITES / "minimal", tmp_path / "content")
    with (folder / "pages" / "home.md").open("a", encoding="utf-8") as page:
        page.write(f"\nThe first unit holds until {{{DUE}}}.\n")
    return folder


def told(folder):
    """What the home page prints for the figure, and what is found."""
    judged = judge(folder, AS_OF)
    (page,) = (page for page in compose(judged).pages if page.id == "page:home")
    text = next(block.content for block in page.blocks if "The first unit" in repr(block))
    return text[1], [finding for finding in judged.findings if finding.rule == figure_not_known.id]


def test_a_record_that_takes_a_figure_away_leaves_the_site_to_be_built(content):
    part, found = told(content)
    assert isinstance(part, Fig)
    assert (part.key, found) == (DUE, [])
    (content / "records").mkdir(exist_ok=True)
    (content / "records" / "failed.csv").write_text(FAILED, encoding="utf-8")
    part, (finding,) = told(content)
    assert part == Absent("not known")
    assert finding.where.file == "pages/home.md"
    assert finding.subject == "page:home"
    assert f"{{{DUE}}}" in finding.message


@pytest.mark.parametrize("wrong", ["unit.d-009.calibration.due", "unit.d-001.calibratoin.due", "unit.d-001.due"])
def test_what_no_record_can_make_is_refused_as_before(content, wrong):
    page = content / "pages" / "home.md"
    page.write_text(page.read_text(encoding="utf-8").replace(DUE, wrong), encoding="utf-8")
    with pytest.raises(ContentError, match="no figure has the key"):
        judge(content, AS_OF)
