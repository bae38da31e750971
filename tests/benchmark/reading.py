"""How quick a big site is in a real browser: search key by key, and what the three readers come for.

It reads a built site from ``file://``; ``python -m tests.benchmark.reading SITE`` prints the times.
"""

from __future__ import annotations

import os
import shutil
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from tests.web.conftest import NAMES

FIELD = "#search-field"
QUESTIONS = (
    "methane", "hydrogen sulfide", "h2s", "ch4", "74-82-8", "marsh gas", "d-1100", "d-2999", "d-017", "tmw-007919",
    "d-1", "c-101", "c-101-7", "c-108", "wet well", "inlet", "bump test", "calibration", "fresh air", "alarm response",
    "setpoint.wet-well.oxygen.low", "unit.d-1500.bump-test.due", "gas.methane.lel", "cylinder.c-101.tests-left",
    "low alarm wet well", "hose wait", "checks left c-101", "record.2026-11.57.day", "h2s high", "no such thing",
)  # fmt: skip
"""Gases by name, formula, CAS number, synonym; units, serials, cylinders, areas, procedures; figures by key, words."""
TYPED = """async (texts) => {
  const field = document.querySelector("#search-field"), times = [];
  for (const text of texts) {
    for (let end = 1; end <= text.length; end += 1) {
      field.value = text.slice(0, end);
      const start = performance.now();
      field.dispatchEvent(new Event("input", { bubbles: true }));
      document.querySelector(".answers").getBoundingClientRect();
      times.push([performance.now() - start, field.value]);
      await new Promise((done) => setTimeout(done, 0));
    }
  }
  return times;
}"""
"""Each key typed: from the event to the list laid out, in milliseconds, with what stood in the field."""


@contextmanager
def browser() -> Iterator[Any]:
    """A window of the browser that the tests use."""
    found = next(path for name in NAMES if (path := shutil.which(name)))
    with sync_playwright() as made:
        opened = made.chromium.launch(executable_path=found, args=["--no-sandbox"] if os.getuid() == 0 else [])
        yield opened
        opened.close()


def measure(site: Path) -> None:
    """Print what was measured."""
    with browser() as opened:
        page = opened.new_context(viewport={"width": 390, "height": 844}).new_page()
        root = site.resolve().as_uri()
        _search(page, root)
        for name, journey in JOURNEYS.items():
            start = time.perf_counter()
            clicks, slowest, where = journey(page, root)
            spent = time.perf_counter() - start
            print(f"{name:48} {clicks} clicks, {spent:.2f} s in all, slowest page {slowest:.2f} s, ends on {where}")


def _search(page: Any, root: str) -> None:
    page.goto(f"{root}/index.html")
    start = time.perf_counter()
    page.focus(FIELD)
    page.evaluate("() => new Promise((done) => handbook.withIndex(done))")
    print(f"index loaded and unpacked in {1000 * (time.perf_counter() - start):.0f} ms")
    times = page.evaluate(TYPED, list(QUESTIONS))
    spent = sorted(took for took, _ in times)
    slowest = max(times)
    print(
        f"{len(QUESTIONS)} questions, {len(spent)} keys: p50 {statistics.median(spent):.1f} ms, "
        f"p95 {spent[int(0.95 * len(spent))]:.1f} ms, max {slowest[0]:.1f} ms at {slowest[1]!r}"
    )
    for text in QUESTIONS:
        page.fill(FIELD, text)
        page.wait_for_function("document.querySelector('.count').textContent !== ''")
        page.wait_for_timeout(50)
        first = page.locator(".answer").first
        print(f"  {text:30} {first.inner_text() if page.locator('.answer').count() else 'nothing':45} "
              f"{page.locator('.count').inner_text()}")  # fmt: skip


# ---- journeys -----------------------------------------------------------------


class Steps:
    """Counts clicks, and the slowest of the pages they opened."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.clicks = 0
        self.slowest = 0.0

    def go(self, act: Callable[[], object], shown: str) -> None:
        """One click, and how long until what it leads to is shown."""
        start = time.perf_counter()
        act()
        self.page.wait_for_selector(shown)
        self.slowest = max(self.slowest, time.perf_counter() - start)
        self.clicks += 1

    def done(self) -> tuple[int, float, str]:
        """Clicks, seconds of the slowest, and where it ended."""
        return self.clicks, self.slowest, "/".join(self.page.url.split("/")[-2:])


def _found(steps: Steps, text: str, path: str, title: str) -> None:
    steps.page.fill(FIELD, text)
    steps.page.wait_for_selector(".answer")
    steps.go(steps.page.locator(".answer").first.click, f"nav.crumbs li[aria-current]:has-text('{title}')")
    assert steps.page.url.endswith(path), steps.page.url


def worker(page: Any, root: str) -> tuple[int, float, str]:
    """From the first page to what a reading in an area really stands for."""
    page.goto(f"{root}/index.html")
    steps = Steps(page)
    _found(steps, "coatings shop", "areas/coatings-shop.html", "Coatings shop")
    page.select_option(".corrector [name=gas]", index=0)
    page.fill(".corrector [name=reading]", "10")
    steps.go(lambda: page.press(".corrector [name=reading]", "Tab"), ".corrector output:not(:empty)")
    return steps.done()


def auditor(page: Any, root: str) -> tuple[int, float, str]:
    """From a setpoint in its area to the law behind it."""
    page.goto(f"{root}/areas/wet-well.html")
    steps = Steps(page)
    steps.go(page.locator("a.fig[href$='#setpoint.wet-well.oxygen.low']").first.click, "dialog dl")
    law = "dialog a[data-key^='limit.wet-well']"
    if page.locator(law).count():
        steps.go(page.locator(law).first.click, "dialog dl")
    text = page.locator("dialog").inner_text()
    assert "1910.146" in text or "setpoints.yaml" in text, text
    return steps.done()


def safety_lead(page: Any, root: str) -> tuple[int, float, str]:
    """From the first page to the cylinder that runs out first."""
    page.goto(f"{root}/index.html")
    steps = Steps(page)
    steps.go(page.locator("main").get_by_role("link", name="Calibration gas").first.click, "table")
    first = page.get_by_role("table", name="Which ends first").locator("tbody tr").first
    steps.go(first.locator("th a").click, "h1:has-text('Cylinder')")
    return steps.done()


def by_hand(page: Any, root: str) -> tuple[int, float, str]:
    """From the first page to one unit among all, without search: by its area."""
    page.goto(f"{root}/detectors.html")
    steps = Steps(page)
    place = page.get_by_role("table", name="Units by place").get_by_role("link", name="Inlet wet well", exact=True)
    steps.go(place.click, "h1:has-text('Units in')")
    steps.go(page.locator("main tbody tr th a").first.click, "h1:has-text('Unit ')")
    return steps.done()


JOURNEYS: dict[str, Callable[[Any, str], tuple[int, float, str]]] = {
    "worker: area to correction of a reading": worker,
    "auditor: setpoint to law": auditor,
    "safety lead: cylinder that runs out first": safety_lead,
    "anyone: detectors to one unit without search": by_hand,
}


if __name__ == "__main__":
    measure(Path(sys.argv[1]))
