"""The forms of figure keys fit the keys that ledgers really have; what they refuse is in broken/prose.yaml."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from builder.base.where import Given, Where
from builder.figures.compute import compute
from builder.load.content import load_content
from builder.program.read import read_program
from builder.reference.library import library

ROOT = Path(__file__).parents[2]
SITES = ["content", "tests/program/site", "tests/findings/sound", "tests/sites/faults", "tests/sites/minimal"]
HERE = Where("pages/home.md", 1)


@pytest.mark.parametrize("name", SITES)
def test_no_key_of_a_ledger_is_called_unknown(name):
    documents, problems = load_content(ROOT / name)
    program = read_program(documents, problems, library())
    ledger = compute(program, date(2026, 11, 25)).ledger
    keys = [*ledger.figures, *ledger.aliases, *(f"{key}x" for key in list(ledger.figures)[:5])]
    asking = replace(program, quoted=tuple(Given(key, HERE, key) for key in keys))
    assert [problem.found for problem in asking.unknown_keys()] == [
        f"no figure has the key {key!r}" for key in keys[-5:]
    ]
    assert len(keys) > 250


def test_every_key_in_prose_is_kept_with_its_line():
    documents, problems = load_content(ROOT / "tests/sites/minimal")
    program = read_program(documents, problems, library())
    # as written in pages/home.md and procedures/bump-test.md of that site
    assert {
        ("setpoint.pit.flammable.low", "pages/home.md:7"),
        ("check.bump-test.gas-time", "procedures/bump-test.md:13"),
    } <= {(given.value, str(given.where)) for given in program.quoted}
