"""Shared places and the demo built once a session."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
DEMO = ROOT / "content"
MINIMAL = ROOT / "tests" / "sites" / "minimal"
DAY = date(2026, 11, 25)


@dataclass(frozen=True)
class BuiltSite:
    out: Path
    built: object


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    """The demo handbook, built once."""
    from builder import pipeline

    out = tmp_path_factory.mktemp("demo") / "site"
    return BuiltSite(out=out, built=pipeline.build(DEMO, out, DAY))


@pytest.fixture(scope="session")
def minimal(tmp_path_factory):
    """The smallest sound site, built once."""
    from builder import pipeline

    out = tmp_path_factory.mktemp("minimal") / "site"
    return BuiltSite(out=out, built=pipeline.build(MINIMAL, out, DAY))
