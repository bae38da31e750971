"""A real browser that reads built pages from ``file://`` and writes down whatever it asks for."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest


@dataclass
class Reader:
    """One reader's window, what it asked for and what went wrong in it."""

    page: Any
    root: Path
    asked: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def open(self, path: str) -> Any:
        self.page.goto((self.root / path.partition("#")[0]).as_uri() + path[len(path.partition("#")[0]) :])
        self.page.evaluate("document.fonts.ready.then(() => true)")  # another face has other widths
        return self.page

    def unfolded(self, path: str) -> Any:
        """The page with all of its parts opened."""
        page = self.open(path)
        page.evaluate("document.querySelectorAll('details.more').forEach((part) => { part.open = true; })")
        return page

    @property
    def at(self) -> str:
        """The site path that is open, without anchor."""
        return self.page.url.partition("#")[0].partition("?")[0].removeprefix(self.root.as_uri() + "/")


@pytest.fixture
def reader(chromium):
    """Opens windows on a site: ``with reader(site, width=320) as window``; nothing may go wrong in them."""

    @contextmanager
    def opened(site, *, width=1024, height=800, **settings):
        context = chromium.new_context(viewport={"width": width, "height": height}, **settings)
        context.set_default_timeout(10_000)
        made = Reader(context.new_page(), Path(getattr(site, "out", site)).resolve())
        context.on("request", lambda request: made.asked.append(request.url))
        made.page.on("pageerror", lambda error: made.faults.append(str(error)))
        made.page.on("console", lambda said: made.faults.append(said.text) if said.type == "error" else None)
        try:
            yield made
            assert made.faults == []
            assert [url for url in made.asked if not url.startswith("file://")] == []
        finally:
            context.close()

    return opened
