"""The maker of big sites makes sound ones: a small one is built whole and read back, and of a big one all lists are."""

from __future__ import annotations

from datetime import date

import pytest

from builder import building, pipeline
from builder.base.finding import Severity
from builder.figures.due_checks import State
from builder.pages.blocks import Table
from builder.pages.compositions import figures_in, links_in
from builder.pages.handbook.registers import MANY_CYLINDERS, MANY_UNITS, ROWS
from builder.pages.hrefs import LATE
from tests.benchmark.grown import Size, grow
from tests.rendered import html_pages

DAY = date(2026, 11, 25)


@pytest.mark.usefixtures("without_book")
def test_a_site_of_twenty_units_is_sound_and_builds(tmp_path, minimal):
    size = Size(units=20, areas=3, models=2, cylinders=6, days=60)
    rows = grow(minimal.content, tmp_path / "content", size)
    built = building.build(tmp_path / "content", tmp_path / "site", DAY)
    program = built.composed.judged.program
    made = (program.units, program.areas, program.models, program.cylinders)
    assert tuple(map(len, made)) == (20, 3, 2, 6)
    assert len(program.records) == rows > 100
    assert [found for found in built.composed.judged.findings if found.severity is Severity.STOP] == []


# ---- above the number of units that one page lists -------------------------------------


@pytest.fixture(scope="module")
def big(tmp_path_factory, minimal):
    """More units and cylinders than are listed at once, composed."""
    content = tmp_path_factory.mktemp("big") / "content"
    grow(minimal.content, content, Size(units=3 * MANY_UNITS, areas=2, models=1, cylinders=MANY_CYLINDERS + 1, days=30))
    return pipeline.compose(pipeline.judge(content, DAY))


def named(pages, start, kind):
    """Each target of a kind that tables of these pages have in their first column, in order."""
    tables = (block for page in pages if page.id.startswith(start) for block in page.blocks if isinstance(block, Table))
    return [target for table in tables for row in table.rows for target in links_in(row[0]) if target.startswith(kind)]


def test_every_unit_stands_once_in_the_registers(big):
    units = [f"unit:{unit}" for unit in big.judged.program.units]
    assert sorted(named(big.pages, "units-in:", "unit:")) == sorted(units)
    places = named(big.pages, "page:detectors", "units-in:")
    assert len(places) == len(set(places)) == 3


def test_every_dated_check_stands_once_in_the_lists_of_weeks(big):
    found = [due for due in big.judged.computed.due_checks if due.state is not State.DAILY]
    lists = [page for page in big.pages if page.id.startswith(("due:week-", "due:first-"))]
    keys = [key for page in lists for key in figures_in(page.blocks) if key.endswith(".due")]
    assert sorted(keys) == sorted(due.key for due in found if due.key)
    assert sum(len(block.rows) for page in lists for block in page.blocks) == len(found)
    assert set(links_in(page_of(big, "due:by-week").blocks)) >= {page.id for page in lists}


def page_of(composed, reference):
    return next(page for page in composed.pages if page.id == reference)


def test_every_figure_and_every_thing_is_reached_from_the_indexes(big):
    groups = {page.id for page in big.pages if page.id.startswith("figures:")}
    parts = [target for target in links_in(page_of(big, "page:figures").blocks) if target.startswith("keys:")]
    assert sorted(parts) == sorted(page.id for page in big.pages if page.id.startswith("keys:"))
    listed = named(big.pages, ("keys:", "page:figures"), "figures:")
    assert sorted(listed) == sorted(groups)
    runs = [target for target in links_in(page_of(big, "page:search").blocks) if target.startswith("index:")]
    assert sorted(runs) == sorted(page.id for page in big.pages if page.id.startswith("index:"))
    things = named(big.pages, "index:", "") + named(big.pages, "page:search", "")
    entries = {entry.reference for entry in big.reader.entries}
    assert sorted(things) == sorted(entries - set(LATE)), "those two are composed once all others are"


def test_no_page_but_of_charts_is_heavy_and_every_link_of_the_lists_leads_somewhere(big):
    lists = [page for page in big.pages if page.id.partition(":")[0] in ("page", "units-in", "due", "keys", "index")]
    facts = pipeline.site_facts(big.judged, draft=True)
    made = html_pages(lists, big.judged.ledger.figures, big.hrefs, facts)
    # the page of findings names hundreds of checks that are overdue there, one by one
    heavy = {path: len(data) for path, data in made.items() if len(data) > 200_000 + 20_000 * (path == "findings.html")}
    assert heavy == {}
    assert len(made["index.html"]) < 100_000
    rows = [len(block.rows) for page in lists for block in page.blocks if isinstance(block, Table)]
    assert max(rows) <= ROWS
