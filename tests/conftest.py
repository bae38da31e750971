"""Shared places, and sites that are built once a run."""

from __future__ import annotations

import gc
import os
import shutil
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from types import ModuleType, SimpleNamespace

import pytest
from hypothesis import settings

from tests.shared import built, changed, composed_once, made_once, root_of
from tests.trust.long import LONG

ROOT = Path(__file__).parent.parent
DEMO = ROOT / "content"
MINIMAL = ROOT / "tests" / "sites" / "minimal"
DAY = date(2026, 11, 25)
SLOW_FIRST = ("web/test_pages.py", "release/test_release.py")
"""The file that builds the demo and the one that releases: each worker begins with one of them."""
SMALL_LAST = ("formulas", "cli", "base", "publish", "load", "reference")
"""Folders of many small tests end a run, so that no worker waits long for another."""


SLOW_FOLDERS = frozenset({"benchmark", "release", "render", "site", "trust", "web"})
"""Folders whose tests are of whole sites, of paper, of the browser, or of what the system refuses."""
BUILT = frozenset({"chromium", "demo", "minimal", "without_book", "unpacked", "tree"})
"""Fixtures that drive a browser, build a site or change how, or make a wheel or a second tree with tests of its own."""
ENGINE = ("builder.render.pdf", "builder.render.cards", "builder.render.jobs", "builder.render.documents", "weasyprint")
"""Modules that set documents; what a test module has of them by name tells that its tests do."""


@dataclass(frozen=True)
class BuiltSite:
    """A site in a folder that all workers read and none may change, and what it was built from."""

    out: Path
    content: Path

    @property
    def built(self):
        """Its pages and cards as plain data, composed again: they hold quantities, which cannot be pickled."""
        return SimpleNamespace(composed=composed_once(self.content, DAY))


@contextmanager
def shared_site(tmp_path_factory, name, content):
    folder = made_once(root_of(tmp_path_factory), name, lambda made: built(content, made / "site", DAY))
    yield BuiltSite(out=folder / "site", content=content)
    assert changed(folder) == [], "a test changed a site that others read"


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    """The demo handbook, built once."""
    with shared_site(tmp_path_factory, "demo", DEMO) as site:
        yield site


@pytest.fixture(scope="session")
def minimal(tmp_path_factory):
    """The smallest sound site, built once."""
    with shared_site(tmp_path_factory, "minimal", MINIMAL) as site:
        yield site


BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@pytest.fixture(scope="session")
def chromium():
    """The one browser of a run; two cannot be driven in one process."""
    from playwright.sync_api import sync_playwright

    found = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    assert found, "no Chromium on the PATH; `sh .ci/setup.sh browser` installs it or says how"
    with sync_playwright() as made:
        arguments = ["--no-sandbox"] if os.getuid() == 0 else []
        browser = made.chromium.launch(executable_path=found, args=arguments)
        yield browser
        browser.close()


@pytest.fixture
def without_book(monkeypatch):
    """Builds print no books, which is most of their work, for tests that look at other things."""
    from builder.render.book import Bound

    monkeypatch.setattr("builder.render.site.start_books", lambda *_: lambda _: Bound({}, [], {}))


def pytest_configure(config):
    """What builds of the tests make is kept for the next run, beside what pytest itself keeps."""
    config.addinivalue_line("markers", "quick: needs neither PDF engine nor browser nor a built site; set by itself")
    config.addinivalue_line("markers", "papers: lays papers out by a command or in another process, so it is not quick")
    if hasattr(config, "cache"):
        kept = str(config.cache.mkdir("documents"))
    else:  # pytest was told to keep nothing
        folder = TemporaryDirectory(prefix="handbook-tests-")
        config.add_cleanup(folder.cleanup)
        kept = folder.name
    os.environ.setdefault("HANDBOOK_CACHE", kept)
    os.environ.setdefault("HANDBOOK_SAMPLE", str(date.today().toordinal()))  # noqa: DTZ011 - any day will do
    settings.register_profile("handbook", max_examples=200 if LONG else 40, deadline=None)  # other work may slow one
    settings.load_profile("handbook")


def pytest_report_header():
    """What repeats a run of other cases, on another day (``tests/trust/long.py``)."""
    return f"sample: HANDBOOK_SAMPLE={os.environ['HANDBOOK_SAMPLE']}"


def pytest_ignore_collect(collection_path, config):
    """Where only quick tests are asked for, folders that have none are not even loaded."""
    slow = collection_path.parent == ROOT / "tests" and collection_path.name in SLOW_FOLDERS
    return True if slow and config.option.markexpr == "quick" else None


def pytest_collection_modifyitems(items):
    """Slow files first, then readers of the demo, which would wait for it; then quick ones, the smallest last."""
    named = {path: path.relative_to(ROOT / "tests").as_posix() for path in {item.path for item in items}}
    readers = {item.path for item in items if "demo" in getattr(item, "fixturenames", ())}
    slow = set()
    for item in items:
        folder = named[item.path].partition("/")[0]
        slow_item = item.get_closest_marker("papers") or not BUILT.isdisjoint(getattr(item, "fixturenames", ()))
        if folder in SLOW_FOLDERS or slow_item or sets(item.module):
            slow.add(item.path)
        else:
            item.add_marker("quick")

    def rank(item):
        path = named[item.path]
        if path in SLOW_FIRST:
            return SLOW_FIRST.index(path)
        if item.path in slow:
            return len(SLOW_FIRST) + (item.path in readers)
        folder = path.partition("/")[0]
        return len(SLOW_FIRST) + 2 + (SMALL_LAST.index(folder) + 1 if folder in SMALL_LAST else 0)

    items.sort(key=rank)


def pytest_collection_finish():
    """Thousands of tests stay to the end: looking through them again and again takes a tenth of a run."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 50, 50)


def pytest_sessionfinish():
    """What a worker kept to the end is looked through once, not again by each who ends it."""
    gc.collect()
    gc.freeze()


@cache
def sets(module):
    """Whether a module of tests has anything by name that sets documents or builds sites."""
    found = (thing for thing in vars(module).values() if callable(thing) or isinstance(thing, ModuleType))
    return any(thing is built or homed(thing).startswith(ENGINE) for thing in found)


def homed(thing):
    """The name of the module that a thing is from, or is."""
    return thing.__name__ if isinstance(thing, ModuleType) else getattr(thing, "__module__", None) or ""
