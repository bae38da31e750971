"""A small site has few pages, and everything is still found: by its reference, its name and its own heading."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builder import pipeline
from builder.base.where import Given, Where
from builder.pages.blocks import Fold, Heading
from builder.pages.compositions import links_in
from builder.pages.handbook.page_words import worded_pages
from builder.pages.handbook.small_sites import joined_pages
from tests.pages.conftest import AS_OF

MINIMAL = Path(__file__).parents[1] / "sites" / "minimal"
MOST = 25
"""Pages of a site of one area and two units, as its readers asked (common practice, no source)."""


@pytest.fixture(scope="module")
def small():
    return pipeline.compose(pipeline.judge(MINIMAL, AS_OF))


def headings(blocks):
    for block in blocks:
        if isinstance(block, Heading):
            yield block
        elif isinstance(block, Fold):
            yield block.heading
            yield from headings(block.content)


def test_it_has_few_pages_and_each_that_is_gone_is_a_heading_of_another(small):
    assert len(small.pages) <= MOST < len(small.single)
    kept = {page.id: page for page in small.pages}
    for page in small.single:
        path, _, anchor = small.hrefs[page.id].partition("#")
        if page.id in kept:
            assert (path, anchor) == (page.path, "")
        else:
            host = next(other for other in small.pages if other.path == path)
            assert anchor in {head.anchor for head in headings(host.blocks)}


def test_no_anchor_stands_twice_and_no_link_is_lost(small):
    for page in small.pages:
        anchors = [head.anchor for head in headings(page.blocks) if head.anchor]
        assert len(anchors) == len(set(anchors)), page.id
    assert {target for page in small.single for target in links_in(page)} == {
        target for page in small.pages for target in links_in(page)
    }


def test_things_are_found_under_their_own_names(small):
    parts = {name for page in small.pages for name, _ in page.holds}
    worded = worded_pages(small.single, small.cards, small.judged.ledger.figures, parts)
    assert {"Methane", "Bump test", "d-001"} <= {page.title.removeprefix("Unit ") for page in worded}
    assert all(not anchor for page in worded if page.reference in parts for _, anchor in page.heads)


def test_pages_that_printed_codes_and_other_languages_lead_to_stay(small):
    program = small.judged.program
    address = Given("https://example.invalid/handbook", Where("site.yaml", 1), "")
    coded = replace(program, site=replace(program.site, published_at=address))
    for made, start in (
        (joined_pages(small.single, coded), "unit:"),
        (joined_pages(small.single, coded), "cylinder:"),
        (joined_pages(small.single, program, spoken=True), "procedure:"),
    ):
        assert [page.id for page in made if page.id.startswith(start)] == [
            page.id for page in small.single if page.id.startswith(start)
        ]


def test_a_bigger_site_keeps_its_pages(small):
    program = small.judged.program
    areas = {name: replace(program.areas["pit"], id=name) for name in ("a", "b", "c")}
    assert joined_pages(small.single, replace(program, areas=areas)) == small.single
