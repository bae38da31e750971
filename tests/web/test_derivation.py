"""A figure opens its derivation in place, says what the ledger says, and gives the keyboard back."""

from __future__ import annotations

from urllib.parse import unquote

import pytest

DIALOG = "dialog.derivation"


def opened(page, figure, *, by="Enter"):
    figure.scroll_into_view_if_needed()
    if by == "Enter":
        figure.focus()
        page.keyboard.press("Enter")
    else:
        figure.click()
    page.wait_for_selector(f"{DIALOG} dl")
    return page.locator(DIALOG)


@pytest.mark.parametrize("path", ["areas/pit.html", "gases/index.html", "setpoints.html", "cylinders/index.html"])
def test_enter_opens_what_the_ledger_says_and_escape_gives_the_figure_back(minimal, reader, path):
    ledger = minimal.built.composed.judged.ledger
    with reader(minimal) as window:
        page = window.open(path)
        figure = page.locator("main a.fig:visible").first
        key = unquote(figure.get_attribute("href").partition("#")[2])
        made = ledger[key]
        text = opened(page, figure).inner_text()
        for words in (made.label, key, made.printed, made.source):
            assert " ".join(words.split()) in " ".join(text.split()), words
        for part in made.inputs:
            assert part.label in text
            assert not part.where or str(part.where) in text
        assert page.evaluate("document.activeElement.closest('dialog') !== null")
        page.keyboard.press("Escape")
        assert not page.locator(DIALOG).is_visible()
        assert page.evaluate("document.activeElement.getAttribute('href')") == figure.get_attribute("href")
        assert window.at == path


def test_what_a_figure_is_made_from_opens_in_the_same_place_and_back_returns(minimal, reader):
    with reader(minimal) as window:
        page = window.unfolded("areas/pit.html")
        figure = page.locator("a.fig[href*='reading.pit.propane']").first
        dialog = opened(page, figure, by="click")
        first = dialog.locator("h2").inner_text()
        assert not dialog.get_by_role("button", name="Back").is_visible()
        dialog.locator("a[data-key]").first.click()
        page.wait_for_function("(old) => document.querySelector('dialog h2').textContent !== old", arg=first)
        dialog.get_by_role("button", name="Back").click()
        assert dialog.locator("h2").inner_text() == first
        dialog.get_by_role("link", name="Valve pit", exact=True).click()
        page.wait_for_url("**/areas/pit.html")


def test_the_whole_derivation_stays_a_page(minimal, reader):
    with reader(minimal) as window:
        page = window.open("areas/pit.html")
        figure = page.locator("main a.fig").first
        href = figure.get_attribute("href")
        opened(page, figure).get_by_role("link", name="On a page of its own").click()
        page.wait_for_url("**" + href.removeprefix(".."))
        assert window.at.startswith("figures/")


def test_a_figure_on_a_derivation_page_leads_on_that_page(minimal, reader):
    with reader(minimal) as window:
        page = window.open(minimal.built.composed.hrefs["figure:gas.methane.lel"].partition("#")[0])
        page.locator("main p a[href^='#gas.']").first.click()
        assert page.locator(DIALOG).count() == 0
        assert "#gas." in page.url


def test_without_script_the_link_leads_to_the_page(minimal, reader):
    with reader(minimal, java_script_enabled=False) as window:
        page = window.open("areas/pit.html")
        page.locator("main a.fig").first.click()
        assert window.at.startswith("figures/")


def test_a_missing_file_is_told_and_the_page_still_offered(minimal, reader, tmp_path):
    import shutil

    site = shutil.copytree(minimal.out, tmp_path / "site")
    shutil.rmtree(site / "assets" / "derivations")
    with reader(site) as window:
        page = window.open("areas/pit.html")
        page.locator("main a.fig").first.click()
        page.wait_for_function("document.querySelector('dialog').textContent.includes('cannot be read from here')")
        window.faults.clear()
        assert page.get_by_role("link", name="On a page of its own").is_visible()


def test_every_figure_has_its_short_derivation(minimal, reader):
    ledger = minimal.built.composed.judged.ledger
    groups = sorted(path.stem for path in (minimal.out / "assets" / "derivations").glob("*.js"))
    with reader(minimal) as window:
        told = window.open("index.html").evaluate(
            """(groups) => Promise.all(groups.map((name) => new Promise((done) =>
                 handbook.load("derivations:" + name, "assets/derivations/" + name + ".js", done))))""",
            groups,
        )
    found = {key: made for group in told for key, made in group.items()}
    assert set(found) == set(ledger.figures)
    for key, figure in ledger.figures.items():
        assert (found[key]["printed"], found[key]["label"]) == (figure.printed, figure.label)
        told = found[key].get("from", [])
        assert [row[2] for row in told] == [part.figure for part in figure.inputs]
        assert [row[1].endswith(", as printed") for row in told] == [part.taken == "printed" for part in figure.inputs]
