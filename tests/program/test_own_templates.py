"""A site with templates of its own: a page and a block of cards, judged like everything else."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from builder import pipeline
from builder.base.errors import ContentError
from builder.publish.freeze import snapshot
from builder.publish.unchanged import content_key

SITES = Path(__file__).parent.parent / "sites"
DAY = date(2026, 11, 25)


@pytest.fixture
def own(tmp_path):
    for name in ("own", "minimal"):
        shutil.copytree(SITES / name, tmp_path / name)
    return tmp_path / "own"


def edit(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def faults(folder):
    with pytest.raises(ContentError) as caught:
        pipeline.judge(folder, DAY)
    return [str(problem) for problem in caught.value.problems]


def test_a_page_and_a_block_print_figures_by_their_keys(own):
    judged = pipeline.judge(own, DAY)
    page = judged.program.pages["alarms-at-a-glance"]
    assert [len(table.children) for table in page.body if table.kind == "table"] == [1 + 2], "a head, two channels"
    (card,) = judged.papers.cards.papers
    (block,) = [block for side in card.sides for block in side.blocks if block.title == "Where to gather"]
    assert "Out of Valve pit, up the ladder" in str(block)
    assert "setpoint.pit.flammable.low" in str(block)


def test_a_number_typed_or_taken_from_the_content_is_refused_with_the_line_of_the_template(own):
    edit(own / "templates/gather.md", "{% else %}", "It is {{ area.depth }} deep.\n{% else %}")
    (line,) = faults(own)
    assert line.startswith("templates/gather.md:8: number with a unit typed by hand: '4 m'")


def test_a_key_that_no_figure_has_is_refused_with_the_nearest(own):
    edit(own / "templates/gather.md", "flammable.low}", "flamable.low}")
    (line,) = faults(own)
    assert line.startswith("templates/gather.md:7: ")
    assert "setpoint.pit.flammable.low" in line


@pytest.mark.parametrize(
    ("file", "old", "new", "fault"),
    [
        ("cards/pit-entrant.yaml", "block: gather", "block: gathr", "nearest: gather"),
        (
            "templates/gather.md",
            "for: card",
            "for: crad",
            "'crad' for 'for'; allowed: one of page, card; nearest: ",
        ),
        ("templates/gather.md", "block: gather", "blok: gather", "unknown key 'blok' in template"),
        ("templates/gather.md", "title: Where", "language: de\ntitle: Where", "'de' for 'language'"),
        ("templates/alarms-at-a-glance.md", "section: program", "section: progam", "nearest: program"),
    ],
)
def test_wrong_names_are_told_with_the_nearest(file, old, new, fault, own):
    edit(own / file, old, new)
    assert any(fault in line for line in faults(own)), faults(own)


def test_one_in_the_place_of_a_built_block_is_judged_as_the_plain_text_that_it_is(own):
    before = {finding.message for finding in pipeline.judge(own, DAY).findings if finding.rule == "card-lacks-block"}
    edit(own / "templates/gather.md", "block: gather", "block: contacts")
    edit(own / "cards/pit-entrant.yaml", "  - {block: gather}\n", "")
    judged = pipeline.judge(own, DAY)
    after = {finding.message for finding in judged.findings if finding.rule == "card-lacks-block"}
    (card,) = judged.papers.cards.papers
    titles = [block.title for side in card.sides for block in side.blocks]
    assert "Where to gather" in titles
    assert after != before
    assert any("contacts" in message for message in after)


def test_a_frozen_revision_holds_the_templates_and_a_changed_one_is_another_content(own):
    assert "templates/gather.md" in snapshot(own)
    before = content_key(own, DAY)
    edit(own / "templates/gather.md", "to the flag. The", "to the red flag. The")
    assert content_key(own, DAY) != before


def test_a_template_of_the_company_holds_at_its_sites_until_one_says_otherwise(own):
    shutil.move(own / "templates", own.parent / "minimal/templates")
    assert "alarms-at-a-glance" in pipeline.judge(own, DAY).program.pages
    (own / "templates").mkdir()
    (own / "templates/alarms-at-a-glance.md").write_text("---\nremove: not needed here\n---\n", encoding="utf-8")
    judged = pipeline.judge(own, DAY)
    assert "alarms-at-a-glance" not in judged.program.pages
    assert any("not needed here" in finding.message for finding in judged.findings)


def test_the_guide_shows_the_templates_that_are_tried_here():
    guide = (SITES.parent.parent / "docs/templates.md").read_text(encoding="utf-8")
    templates = sorted((SITES / "own/templates").glob("*.md"))
    assert len(templates) == 2
    for path in templates:
        assert path.read_text(encoding="utf-8") in guide
