"""Examples in docstrings are calls that were tried."""

from __future__ import annotations

import doctest
from importlib import import_module
from pkgutil import walk_packages

import pytest

import builder

MODULES = sorted(
    found.name for found in walk_packages(builder.__path__, "builder.") if not found.name.endswith("__main__")
)


def test_there_are_modules_to_look_at():
    assert len(MODULES) > 300


@pytest.mark.parametrize("name", MODULES)
def test_examples_of_a_module_run(name):
    assert doctest.testmod(import_module(name)).failed == 0
