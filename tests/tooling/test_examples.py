"""Examples in docstrings are calls that were tried."""

from __future__ import annotations

import doctest
from importlib import import_module
from pathlib import Path

from tests.each import each

ROOT = Path(__file__).parents[2]
MODULES = sorted(
    ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for path in (ROOT / "builder").rglob("*.py")
    if ">>>" in path.read_text(encoding="utf-8")
)
"""Those that have examples; the others have nothing to try."""


def test_there_are_examples_to_try():
    assert len(MODULES) > 30


@each("name", MODULES)
def test_examples_of_a_module_run(name):
    tried = doctest.testmod(import_module(name))
    assert tried.failed == 0
    assert tried.attempted > 0
