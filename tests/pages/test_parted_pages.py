"""A page that grows is parted where it would be too heavy; no row is lost, and no part begins without its heading."""

from __future__ import annotations

from itertools import pairwise

from builder import pipeline
from builder.history.archive import Past, read_archive
from builder.pages.blocks import Heading, Paragraph, Table, Text
from builder.pages.compositions import Page
from builder.pages.handbook.parted_pages import parted_pages
from builder.pipeline import site_facts
from builder.render.jobs import Workshop
from tests.conftest import DAY, DEMO
from tests.rendered import html_pages
from tests.shared import judged_once

MOST_PAGE = 60 * 1024
RELEASED = DEMO.parent / "site"


def t(text):
    return (Text(text),)


def page(*blocks):
    return Page(id="page:differences", path="differences.html", title="Differences", section="program", blocks=blocks)


def rows_of(blocks):
    return [row for block in blocks if isinstance(block, Table) for row in block.rows]


def test_a_light_page_is_left_as_it_is():
    light = page(Heading(2, t("Alarms"), "alarms"), Table(("A",), ((t("1"),),)), Paragraph(t("End.")))
    assert tuple(parted_pages(light)) == (light,)


def test_no_row_is_lost_and_every_part_begins_with_its_heading():
    rows = tuple((t(f"{number} {'word ' * 400}"), t("x")) for number in range(90))
    heads = [Heading(2, t(f"Part {n}"), f"part-{n}") for n in range(3)]
    tables = [Table(("A", "B"), rows[at : at + 30], empty="nothing") for at in (0, 30, 60)]
    blocks = [block for pair in zip(heads, tables, strict=True) for block in pair]
    parts = list(parted_pages(page(Paragraph(t("First.")), *blocks)))
    assert [part.id for part in parts] == ["page:differences", "differences:2", "differences:3", "differences:4"]
    assert [part.path for part in parts[:2]] == ["differences.html", "differences-2.html"]
    assert rows_of(block for part in parts for block in part.blocks) == list(rows)
    for number, part in enumerate(parts, start=1):
        whole, first, *rest = part.blocks
        assert {link.target for link in whole.content if not isinstance(link, Text)} == {
            other.id for other in parts if other is not part
        }
        brackets = [link.text for link in whole.content if isinstance(link, Text) and "Part" in link.text]
        assert len(brackets) == len(parts) - 1
        assert isinstance(first, Heading) or number == 1
        assert not isinstance(part.blocks[-1], Heading)
        assert not any(isinstance(a, Heading) and isinstance(b, Heading) for a, b in pairwise(rest))
    said = [block.content[0].text for part in parts for block in part.blocks if isinstance(block, Heading)]
    assert said == sorted(said)


def test_one_row_that_is_too_heavy_alone_still_stands_below_its_heading():
    heavy = (t("word " * 20_000),)
    (only,) = parted_pages(page(Heading(2, t("Words"), "words"), Table(("A",), (heavy,))))
    assert rows_of(only.blocks) == [heavy]


def test_what_the_demo_changed_since_its_first_release_stands_on_pages_that_are_not_too_heavy():
    first = read_archive(RELEASED).before(2)
    judged = judged_once(DEMO, DAY)
    made = pipeline.compose(judged, past=Past(first, frozenset(first.editions)))
    told = [page for page in made.pages if "differences" in page.id]
    assert len(told) > 1
    with Workshop() as shop:
        facts = site_facts(judged, draft=True)
        files = html_pages(told, judged.ledger.figures, made.hrefs, facts, shop)
    assert {path: len(data) for path, data in files.items() if len(data) > MOST_PAGE} == {}
