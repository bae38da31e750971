"""Records on the page of their unit and month by month, with the builder's own judgement where it differs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.figures.compute import compute
from builder.pages.blocks import Chart
from tests.figures.test_records_shown import row
from tests.pages.test_handbook import plain, tables

from .conftest import AS_OF


@pytest.fixture(scope="module")
def site(program, compose):
    records = (
        row(2, "2026-05-01T08:00", "calibration", "cat-flammable", "25", "25"),
        row(3, "2026-05-02T08:00", "calibration", "cat-flammable", "25", "31"),
        row(4, "2026-05-03T08:00", "inspection", result="fail"),
    )
    program = replace(program, records=records)
    return compose(program, compute(program, AS_OF).ledger)


@pytest.fixture(scope="module")
def compose():
    from .conftest import composed

    return composed


def test_the_page_of_a_unit_shows_its_records_newest_first(site, nodes):
    history = next(t for t in tables(nodes, site.page("unit:d-001")) if t.caption == "Latest records, newest first")
    assert [plain(found[-1]) for found in history.rows] == ["Bench 2026.csv:4", "Bench 2026.csv:3", "Bench 2026.csv:2"]
    assert [plain(found[1]) for found in history.rows] == [
        "Inspection", "Calibration, Catalytic, flammable gas", "Calibration, Catalytic, flammable gas",
    ]  # fmt: skip


def test_a_pass_that_is_none_says_so(site, nodes):
    history = next(t for t in tables(nodes, site.page("unit:d-001")) if t.caption == "Latest records, newest first")
    results = [plain(found[5]) for found in history.rows]
    assert results == ["fail", "pass as written; a fail by its reading", "pass"]


def test_a_unit_without_records_says_so(site, nodes):
    history = next(t for t in tables(nodes, site.page("unit:d-002")) if t.caption == "Latest records, newest first")
    assert (history.rows, history.empty) == ((), "nothing is recorded")


def test_readings_of_three_days_make_a_chart_between_the_edges_of_their_window(program, compose, nodes):
    days = ("2026-01-10", "2026-03-11", "2026-05-20")
    records = tuple(
        row(line, f"{day}T08:00", "calibration", "cat-flammable", found, "25")
        for line, day, found in zip((2, 3, 4), days, ("25", "24", "22"), strict=True)
    )
    program = replace(program, records=records)
    site = compose(program, compute(program, AS_OF).ledger)
    (chart,) = [node for node in nodes(site.page("unit:d-001").blocks) if isinstance(node, Chart)]
    assert [(site.ledger[x].text, site.ledger[y].text) for x, y in chart.lines[0].points] == [
        ("0", "25"), ("60", "24"), ("130", "22"),
    ]  # fmt: skip
    assert [mark.key for mark in chart.marks] == [
        f"window.c-001.cat-flammable.calibration.{part}" for part in ("from", "to")
    ]
    fewer = replace(program, records=records[:2])
    page = compose(fewer, compute(fewer, AS_OF).ledger).page("unit:d-001")
    assert not [node for node in nodes(page.blocks) if isinstance(node, Chart)]


def test_months_are_on_a_page_that_the_checks_lead_to(site, links):
    assert "page:records" in links(site.page("page:checks"))
    assert site.hrefs["page:records"] == "records/index.html"


def test_a_site_without_records_has_neither(made, nodes):
    assert "page:records" not in {page.id for page in made.pages}
    assert not [t for t in tables(nodes, made.page("unit:d-001")) if t.caption.startswith("Latest records")]
