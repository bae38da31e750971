"""What the reader's browser adds to due dates, counted by a real one from a page on the disk."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest

from builder.base.errors import RenderError
from builder.pages.blocks import Fig, Paragraph, Tally, Text
from builder.pages.compositions import Page
from builder.render.html import DUE_SCRIPT, HtmlRenderer, site_assets
from builder.render.markup import Marker, SiteFacts

from .conftest import FIGURES, made

DUE = date(2027, 3, 1)
KEY = "unit.d-001.calibration.due"
DAY = replace(made(KEY, "1\u00a0Mar\u00a02027", "", "Calibration of D-001 due"), exact=DUE)
PLAIN = replace(DAY, key="unit.d-001.bump-test.due", exact=DUE - timedelta(days=9))
PAGE = Page(
    id="due:by-area",
    path="checks/by-area.html",
    title="Checks due",
    section="checks",
    lead=(Text("Counted."),),
    blocks=(
        Paragraph((Fig(KEY, due=True), Text(" due soon"))),
        Paragraph((Fig(PLAIN.key),)),
        Paragraph((Fig("setpoint.wet-well.flammable.low"),)),
    ),
)
COUNTED = (Tally("1 OVERDUE", (("2027-03-01", 2), ("2027-03-05", 3), ("2027-04-02", 1))),)


def html(page=PAGE):
    figures = {**FIGURES, KEY: DAY, PLAIN.key: PLAIN}
    hrefs = {f"figure:{key}": "figures/x.html" for key in figures} | {PAGE.id: PAGE.path}
    facts = SiteFacts(name="Example", title="Handbook", draft=False, revision="Revision 1", as_of="25 Nov 2026")
    sections = [("checks", "Checks", PAGE.id)]
    return HtmlRenderer(figures, hrefs, sections, facts, scripts=(DUE_SCRIPT,)).render(page)


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    site = tmp_path_factory.mktemp("due")
    for path, data in {**site_assets(), PAGE.path: html().encode()}.items():
        (site / path).parent.mkdir(parents=True, exist_ok=True)
        (site / path).write_bytes(data)
    return site / PAGE.path


@pytest.fixture
def shown(chromium):
    """The document as a browser in a time zone has it when scripts are done."""

    def document(page, query="", zone="UTC"):
        context = chromium.new_context(timezone_id=zone)
        try:
            window = context.new_page()
            window.goto(f"{page.as_uri()}{query}")
            return window.content()
        finally:
            context.close()

    return document


def said(document):
    return re.findall(r'<span class="(today[^"]*)">([^<]*)</span>', document)


@pytest.mark.parametrize(
    ("today", "words"),
    [
        ("2027-02-28", [("today", "today: due in 1 day")]),
        ("2027-03-01", [("today", "today: last day")]),
        ("2027-03-02", [("today late", "today: overdue by 1 day")]),
        ("2026-11-25", [("today", f"today: due in {(DUE - date(2026, 11, 25)).days} days")]),
        ("2028-03-01", [("today late", f"today: overdue by {(date(2028, 3, 1) - DUE).days} days")]),
    ],
)
def test_days_are_counted_as_the_calendar_does(shown, page, today, words):
    assert said(shown(page, f"?today={today}")) == words


@pytest.mark.parametrize(
    ("today", "words"),
    [
        ("2027-03-01", "today: 0 overdue, 5 more within 21 days"),
        ("2027-03-02", "today: 2 overdue, 3 more within 21 days"),
        ("2027-03-12", "today: 5 overdue, 1 more within 21 days"),
        ("2027-04-03", "today: 6 overdue, 0 more within 21 days"),
    ],
)
def test_what_is_late_and_soon_is_counted_again_on_the_day_of_the_reader(shown, page, today, words):
    """Two fall due on 1 March, three on the 5th, one on 2 April: counted by hand."""
    tallied = page.with_name("tally.html")
    tallied.write_text(html(replace(PAGE, blocks=(Paragraph(COUNTED),))), encoding="utf-8")
    late = "today" if words.startswith("today: 0 ") else "today late"
    assert said(shown(tallied, f"?today={today}")) == [(late, words)]


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "America/Los_Angeles"])
def test_a_change_of_the_clock_makes_no_day_shorter(shown, page, zone):
    today = DUE + timedelta(days=220)  # clocks change in both zones meanwhile
    assert said(shown(page, f"?today={today}", zone)) == [("today late", "today: overdue by 220 days")]


@pytest.mark.parametrize("query", ["", "?today=yesterday", "?today=2027-3-1", "?today=<b>"])
def test_without_a_day_asked_for_the_browsers_own_counts(shown, page, query):
    before = date.today()  # noqa: DTZ011 - the browser is asked in UTC on the same machine
    (only,) = said(shown(page, query))
    after = date.today()  # noqa: DTZ011
    counts = {abs((DUE - day).days) for day in (before, after)}
    assert any(f" {count} day" in only[1] if count else only[1] == "today: last day" for count in counts)


def test_without_the_script_the_page_says_the_state_of_the_build():
    text = html()
    assert f'data-due="{DUE.isoformat()}"' in text
    assert "due soon" in text
    assert text.count("data-due") == 1, "only what is marked"
    assert not said(text)


def test_a_number_that_is_no_day_cannot_be_counted_to():
    marker = Marker(FIGURES, str, page="page:x")
    with pytest.raises(RenderError, match="is no day"):
        marker.figure(Fig("setpoint.wet-well.flammable.low", due=True))


def test_the_book_on_paper_is_not_marked():
    marker = Marker({KEY: DAY}, str, page="page:x", paper=True)
    assert marker.figure(Fig(KEY, due=True)).due == ""
