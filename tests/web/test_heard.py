"""What a screen reader is told and where the keyboard goes: Chromium's own accessibility tree, on phone and screen."""

from __future__ import annotations

import time
from itertools import pairwise

import pytest

from tests.web.test_pages import kinds


def tree(page):
    """Everything that is told, as (role, name, properties), in reading order."""
    session = page.context.new_cdp_session(page)
    session.send("Accessibility.enable")
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    by_id = {node["nodeId"]: node for node in nodes}
    found, waiting = [], [nodes[0]["nodeId"]]
    while waiting:
        node = by_id[waiting.pop()]
        waiting += reversed([child for child in node.get("childIds", ()) if child in by_id])
        if not node.get("ignored"):
            more = {entry["name"]: entry["value"].get("value") for entry in node.get("properties", ())}
            found.append((node["role"]["value"], node.get("name", {}).get("value", ""), more))
    session.detach()
    return found


def told(found, *roles):
    return [name for role, name, _ in found if role in roles]


@pytest.mark.parametrize("width", [320, 1280])
def test_landmarks_are_named_and_headings_leave_no_level_out(minimal, reader, width):
    with reader(minimal, width=width) as window:
        for kind, path in kinds(minimal).items():
            found = tree(window.open(path))
            assert told(found, "banner") == [""], kind
            assert told(found, "contentinfo") == [""], kind
            assert told(found, "main") == [""], kind
            assert told(found, "search") == [""], kind
            ways = told(found, "navigation")
            wide = ["Handbook"] if width > 1000 else []  # on a phone the contents are folded away
            crumbs = [] if kind == "page:home" else ["Where this page is"]
            assert ways == [*wide, *crumbs], kind
            levels = [more["level"] for role, _, more in found if role == "heading"]
            assert levels[0] == 1, kind
            assert levels.count(1) == 1, kind
            assert all(after <= before + 1 for before, after in pairwise(levels)), (kind, levels)
            assert all(told(found, "heading", "link", "button", "searchbox", "textbox", "combobox")), kind


@pytest.mark.parametrize("width", [320, 1280])
def test_the_alarms_are_told_as_a_table_with_heads_and_nothing_else(minimal, reader, width):
    """Whatever the style sheet does at a width, rows, heads and cells stay what they are."""
    with reader(minimal, width=width) as window:
        page = window.open("areas/pit.html")
        found = tree(page)
        over = next(n for n, entry in enumerate(found) if entry[:2] == ("heading", "It sounds: Valve pit"))
        start = next(n for n, entry in enumerate(found) if n > over and entry[0] == "table")
        end = next(n for n, entry in enumerate(found) if n > start and entry[0] in ("table", "heading"))
        part = found[start:end]
        rows = page.locator("table.alarms tbody tr").count()
        assert rows == 4
        assert told(part, "columnheader") == ["Alarm", "Set to", "Do this"]
        assert told(part, "rowheader") == [
            "Oxygen: too little",
            "Oxygen: too much",
            "Flammable gas: 1st alarm",
            "Flammable gas: 2nd alarm",
        ]
        assert len(told(part, "row")) == rows + 1
        assert len(told(part, "cell", "gridcell")) == 2 * rows


def test_a_word_that_leads_to_the_glossary_stays_the_word(minimal, reader):
    with reader(minimal) as window:
        page = window.unfolded("areas/pit.html")
        links = page.locator("a.term")
        assert links.count() > 3
        names = set(told(tree(page), "link"))
        for link in links.all():
            assert link.inner_text() in names
            assert link.get_attribute("title") is None
            assert link.get_attribute("aria-label") is None


def test_setpoint_and_action_of_every_area_are_seen_on_a_phone_without_pushing(demo, reader):
    outside = """() => [...document.querySelectorAll("table.alarms tr > *")].filter((cell) => {
      const box = cell.getBoundingClientRect();
      const text = document.createRange();
      text.selectNodeContents(cell);
      return text.getBoundingClientRect().right > 320 || box.right > 320 || cell.scrollWidth > cell.clientWidth;
    }).map((cell) => cell.textContent)"""
    areas = [f"areas/{area}.html" for area in demo.built.composed.judged.program.areas]
    with reader(demo, width=320) as window:
        # The face comes after the page, as from a slow disk: what stands in for it is wider and must decide nothing.
        window.page.route("**/regular.woff2", lambda request: (time.sleep(0.1), request.continue_()))
        for path in areas:
            page = window.open(path)
            assert page.locator("table.alarms tbody tr").count() > 1, path
            assert page.evaluate(outside) == [], path
            assert page.locator(".scroll:has(> table.alarms)").get_attribute("tabindex") is None


def test_a_phone_shows_the_first_alarm_of_every_area_on_its_first_screen(demo, reader):
    """On 360 by 640 px the head of a page takes 80 px at most."""
    measured = """() => [document.querySelector(".masthead").getBoundingClientRect().bottom,
      document.querySelector("table.alarms tbody tr").getBoundingClientRect().bottom]"""
    with reader(demo, width=360, height=640) as window:
        for area in demo.built.composed.judged.program.areas:
            for folder in ("", "es/", "ar/"):
                head, alarm = window.open(f"{folder}areas/{area}.html").evaluate(measured)
                assert head <= 80, (folder, area)
                assert alarm <= 640, (folder, area)
        pushed = """() => [...document.querySelectorAll("main .scroll:not(:has(svg))")]
          .filter((part) => part.scrollWidth > part.clientWidth).length"""
        assert window.open("areas/index.html").evaluate(pushed) == 0


def test_a_chart_is_as_narrow_as_a_phone_and_its_words_can_be_read(demo, reader):
    """A line of type takes 13 px and more, which is small print; common practice, no source."""
    measured = """() => [...document.querySelectorAll("figure.chart:not(.plan) svg")].map((svg) => [
      svg.getBoundingClientRect().right, svg.querySelector("text").getBoundingClientRect().height])"""
    with reader(demo, width=360, height=640) as window:
        for path in ("gases/methane.html", "gases/carbon-monoxide.html", "units/d-013.html"):
            found = window.unfolded(path).evaluate(measured)
            assert found, path
            assert all(right <= 344 and tall >= 13 for right, tall in found), (path, found)


def test_no_table_is_pushed_sideways_on_a_phone_and_each_cell_keeps_the_head_of_its_column(minimal, reader):
    pushed = """() => [...document.querySelectorAll("main .scroll:not(:has(svg))")]
      .filter((part) => part.scrollWidth > part.clientWidth).length"""
    untold = """() => [...document.querySelectorAll("table.stacked")].flatMap((table) => {
      const heads = [...table.querySelectorAll("thead tr > *")].map((head) => head.textContent.trim());
      return [...table.tBodies[0].rows].flatMap((row) => [...row.cells].slice(1).filter((cell, at) =>
        heads[at + 1] && getComputedStyle(cell, "::before").content !== JSON.stringify(heads[at + 1])
      ).map((cell) => cell.textContent));
    })"""
    with reader(minimal, width=360, height=740) as window:
        stacked = 0
        for path in ("areas/pit.html", "setpoints.html", "detectors.html", "cylinders/index.html"):
            page = window.unfolded(path)
            assert page.evaluate(pushed) == 0, path
            assert page.evaluate(untold) == [], path
            stacked += page.locator("table.stacked").count()
        assert stacked > 0


@pytest.mark.parametrize(
    ("path", "key"),
    [("areas/pit.html", "setpoint.pit.flammable.low"), ("gases/index.html", "gas.propane.lel")],
)
def test_the_keyboard_walks_a_page_opens_a_figure_and_comes_back_to_it(minimal, reader, path, key):
    """Every stop is seen, none comes twice, none is a trap, and the dialog gives the focus back."""
    with reader(minimal, width=320, reduced_motion="reduce") as window:
        page = window.open(path)
        stops = page.evaluate(
            """() => [...document.querySelectorAll("main :is(a[href], input, select, summary, [tabindex='0'])")]
                 .filter((element) => element.checkVisibility()).length"""
        )
        seen, opened = 0, False
        page.locator(".skip").focus()
        page.keyboard.press("Enter")
        for _ in range(stops + 3):
            page.keyboard.press("Tab")
            state = page.evaluate(
                """() => { const at = document.activeElement, box = at.getBoundingClientRect();
                     return { inside: at.closest("main") !== null, href: at.getAttribute("href") || "",
                              inView: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
                              outlined: getComputedStyle(at).outlineStyle !== "none",
                              figure: at.matches("a.fig") }; }"""
            )
            if not state["inside"]:
                break
            seen += 1
            assert state["inView"], state
            assert state["outlined"], state
            if state["figure"] and state["href"].endswith(f"#{key}") and not opened:
                opened = True
                page.keyboard.press("Enter")
                page.wait_for_selector("dialog dl")
                dialog = page.get_by_role("dialog")
                assert dialog.evaluate("(box) => box.contains(document.activeElement)")
                for _ in range(40):
                    page.keyboard.press("Tab")
                    assert page.evaluate("document.activeElement.closest('main') === null"), "the page behind is still"
                page.keyboard.press("Escape")
                assert page.evaluate("document.activeElement.getAttribute('href')") == state["href"]
        assert opened
        assert seen == stops


def test_the_derivation_is_a_named_dialog_and_moves_nothing(minimal, reader):
    with reader(minimal, reduced_motion="reduce") as window:
        page = window.open("areas/pit.html")
        page.locator("main a.fig").first.click()
        page.wait_for_selector("dialog dl")
        found = tree(page)
        (name,) = told(found, "dialog")
        assert name == page.locator("dialog h2").inner_text()
        assert all(told(found, "button", "link"))
        moving = page.evaluate("document.getAnimations().length")
        assert moving == 0
