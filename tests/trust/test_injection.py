"""Markup in any text of a content stays a text: in a real browser nothing runs, nothing is fetched, nothing pops up."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from builder.cli.main import run
from builder.render.book import Bound
from builder.render.documents import printed_parts
from builder.render.site import Begun
from tests.conftest import DEMO, MINIMAL
from tests.trust.fuzz import copy_of
from tests.trust.injected import TEXTS, filled, prose_filled
from tests.trust.long import LONG

MADE = "#hit, iframe, base, animate, [src*=elsewhere], [href*=elsewhere], [action*=elsewhere], [href^=javascript]"
LOOK = f"[window.hit === undefined, document.querySelectorAll('{MADE}').length]"
LEAST = {"minimal": (60, 25), "demo": (300, 120)}
"""Places tried and places that take a text, at least: less would mean that this test looks at nothing."""


def opened(browser, site, paths):
    """What every page asked for, said and ran."""
    asked, wrong, dialogs = [], [], []
    context = browser.new_context()
    page = context.new_page()
    context.on("request", lambda request: asked.append(request.url))
    page.on("dialog", lambda dialog: (dialogs.append(dialog.message), dialog.dismiss()))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    for path in paths:
        page.goto((site / path).as_uri())
        found = page.evaluate(LOOK)
        if found != [True, 0]:
            wrong.append(f"{path}: {found}")
    page.goto((site / "index.html").as_uri())
    box = page.locator("input[type=search]").first
    for word in ("script", "alert", "window"):
        box.fill(word)
        page.wait_for_timeout(200)
    if page.evaluate("window.hit !== undefined"):
        wrong.append("search ran a text")
    context.close()
    return asked, wrong, dialogs


@pytest.mark.parametrize("name", ["minimal", "demo"] if LONG else ["minimal"])
def test_markup_in_every_text_stays_a_text(name, chromium, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr("builder.render.site.start_books", lambda *_: lambda _: Bound({}, [], {}))

    def begun(_, __, figures, *___):
        return Begun(figures=printed_parts(figures), cards=[], labels=[])

    monkeypatch.setattr("builder.render.site.begin_papers", begun)
    unprinted = SimpleNamespace(begin_sheets=lambda **_: None, made=lambda _: {})
    monkeypatch.setattr("builder.render.site._OnPaper", lambda *_: unprinted)
    content = copy_of({"minimal": MINIMAL, "demo": DEMO}[name], tmp_path / "content")
    tried, kept = filled(content, capsys, each_key_once=True)
    assert (tried, len(kept)) >= LEAST[name], (tried, kept)
    if name == "minimal":
        assert len(prose_filled(content, capsys)) >= len(TEXTS)
    site = tmp_path / "site"
    command = ["build", "--content", str(content), "--out", str(site), "--as-of", "2026-11-25", "--no-cache", "-q"]
    assert run(command) == 0
    pages = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
    shown = "".join((site / path).read_text(encoding="utf-8") for path in pages)
    assert shown.count("alert(1)") > len(kept) / 4  # they are there, as texts
    asked, wrong, dialogs = opened(chromium, site, pages)
    assert wrong == []
    assert dialogs == []
    assert [url for url in asked if not url.startswith(site.resolve().as_uri())] == []
