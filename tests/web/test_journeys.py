"""What the three readers come for, by keyboard or pointer, in as few steps as they have patience for."""

from __future__ import annotations

from datetime import date


def tab_to(page, selector, most=60):
    """Press Tab until the element has the focus."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("(selector) => document.activeElement.matches(selector)", selector):
            return
    raise AssertionError(f"{selector} is not reached by Tab")


def test_a_worker_finds_the_correction_of_a_reading_by_keyboard_on_a_phone(demo, reader):
    ledger = demo.built.composed.judged.ledger
    key = "reading.coatings-shop.toluene.at-10"
    with reader(demo, width=320, height=640) as window:
        page = window.open("index.html")
        tab_to(page, "#search-field", 3)
        page.keyboard.type("coatings shop")
        page.wait_for_selector(".answer")
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Enter")
        page.wait_for_url("**/areas/coatings-shop.html")
        tab_to(page, "summary:has(#correct-a-reading)", 120)
        page.keyboard.press("Enter")
        tab_to(page, ".corrector [name=gas]", 3)
        page.keyboard.press("Home")
        assert page.locator(".corrector option:checked").inner_text() == "Toluene (Flammable gas)"
        page.keyboard.press("Tab")
        page.keyboard.type("10")
        result = page.locator(".corrector output")
        assert result.inner_text() == f"{ledger[key].printed} of Toluene is really there"
        assert result.is_visible()


def test_an_auditor_follows_a_setpoint_to_its_law_in_two_clicks(demo, reader):
    ledger = demo.built.composed.judged.ledger
    limit = ledger["limit.wet-well.flammable"]
    with reader(demo) as window:
        page = window.unfolded("areas/wet-well.html")
        page.locator("a.fig[href$='#limit.wet-well.flammable']").first.click()
        page.wait_for_selector("dialog dl")
        text = page.locator("dialog").inner_text()
        assert limit.printed in text
        assert "29 CFR 1910.146" in text
        sources = [part.source for part in limit.inputs if part.source]
        assert sources
        assert all(source in text for source in sources)
        page.keyboard.press("Escape")
        page.locator("a.fig[href$='#setpoint.wet-well.flammable.low']").first.click()
        page.wait_for_selector("dialog dl")
        text = page.locator("dialog").inner_text()
        assert "setpoints.yaml:" in text
        page.get_by_role("link", name="On a page of its own").click()
        assert window.at.startswith("figures/")
        assert page.locator("h2[id='setpoint.wet-well.flammable.low']").is_visible()


def test_a_safety_lead_finds_the_cylinder_that_ends_first(demo, reader):
    judged = demo.built.composed.judged

    def end(name):
        key = f"cylinder.{name}.usable-until"
        return judged.ledger.day(key if key in judged.ledger else f"cylinder.{name}.expires")

    first = min(judged.program.cylinders, key=lambda name: (end(name), name))
    assert isinstance(end(first), date)
    with reader(demo, width=768) as window:
        page = window.unfolded("index.html")
        page.locator("main").get_by_role("link", name="Calibration gas").first.click()
        table = page.get_by_role("table", name="Which ends first")
        row = table.locator("tbody tr").first
        assert row.locator("th").inner_text() == first
        row.get_by_role("link", name=first, exact=True).click()
        assert window.at == f"cylinders/{first}.html"
        assert page.get_by_role("heading", name="What uses this").is_visible()


def test_a_word_nobody_knows_is_explained_in_two_steps(minimal, reader):
    with reader(minimal) as window:
        page = window.open("areas/pit.html")
        page.fill("#search-field", "STEL")
        page.wait_for_selector(".answer")
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Enter")
        page.wait_for_url("**/glossary.html#stel")
        assert page.get_by_role("heading", name="Short-term exposure limit").is_visible()


def test_a_page_is_walked_by_keyboard_from_the_first_link_on(minimal, reader):
    with reader(minimal, reduced_motion="reduce") as window:
        page = window.unfolded("areas/pit.html")
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.textContent") == "Skip to the text"
        assert page.locator(".skip").evaluate("(link) => link.getBoundingClientRect().left") >= 0
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "content"
        page.keyboard.press("Tab")
        seen = set()
        for _ in range(400):
            found = page.evaluate(
                """() => { const at = document.activeElement;
                     const box = at.getBoundingClientRect(), style = getComputedStyle(at);
                     return [at.tagName, at.getAttribute("href") || at.id || at.name || at.className,
                             box.width > 0 && box.height > 0, style.outlineStyle !== "none"]; }"""
            )
            if found[0] == "BODY":
                break
            seen.add((found[0], found[1]))
            assert found[2], found
            assert found[3], f"no focus is seen on {found}"
            page.keyboard.press("Tab")
        links = page.locator("main a[href]").evaluate_all("(all) => all.map((link) => link.getAttribute('href'))")
        assert {href for tag, href in seen if tag == "A"} >= set(links)
        assert ("INPUT", "reading") in seen
