"""Families of figures fit the keys that ledgers really have and document them; refusals are in broken/prose.yaml."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from builder.base.where import Given, Where
from builder.figures.compute import compute
from builder.load.content import load_content
from builder.program.keys.document import document, example
from builder.program.keys.families import CHART_TIME, FAMILIES, HOSE_WAIT, READING, SETPOINT, SETPOINT_PROTECTS
from builder.program.keys.parts import PARTS, number_part
from builder.program.read import read_program
from builder.reference.library import library

ROOT = Path(__file__).parents[2]
SITES = ["content", "tests/program/site", "tests/findings/sound", "tests/sites/faults", "tests/sites/minimal"]
HERE = Where("pages/home.md", 1)


@cache
def computed(name):
    documents, problems = load_content(ROOT / name)
    return compute(read_program(documents, problems, library()), date(2026, 11, 25))


@pytest.mark.parametrize("name", SITES)
def test_no_key_of_a_ledger_is_called_unknown(name):
    program, ledger = computed(name).program, computed(name).ledger
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


@pytest.mark.parametrize("name", SITES)
def test_every_key_of_a_ledger_is_read_and_made_again_by_its_family(name):
    ledger = computed(name).ledger
    read = {key: [(f, parts) for f in FAMILIES if (parts := f.read(key)) is not None] for key in ledger.figures}
    assert [key for key, found in read.items() if not found] == []
    assert [key for key, found in read.items() if any(family(**parts) != key for family, parts in found)] == []


def test_a_key_is_made_of_all_its_parts_and_no_other():
    assert SETPOINT(area="pit", channel="oxygen", alarm="low") == "setpoint.pit.oxygen.low"
    with pytest.raises(TypeError, match=r"parts alarm, area for a key of the form setpoint\.<area>\.<channel>"):
        SETPOINT(area="pit", alarm="low")
    with pytest.raises(TypeError, match="parts area, model, speed"):
        HOSE_WAIT(area="pit", model="four", speed="high")


def test_a_key_is_read_into_its_parts():
    assert SETPOINT.read("setpoint.pit.oxygen.low") == {"area": "pit", "channel": "oxygen", "alarm": "low"}
    assert SETPOINT.read("setpoint.pit.oxygen.low.true") is None
    found = CHART_TIME.read("chart.pit.h2s.to-twa.at-2-5-ppm")
    assert found == {"area": "pit", "channel": "h2s", "averaged": "twa", "n": "2-5", "scale": "ppm"}


def test_the_start_of_keys_needs_the_first_parts():
    assert READING.start() == "reading"
    assert SETPOINT_PROTECTS.start(area="pit", channel="h2s", alarm="low") == "setpoint.pit.h2s.low"
    with pytest.raises(TypeError, match="parts channel for the start"):
        SETPOINT.start(channel="oxygen")


def test_a_key_on_the_start_of_another_has_all_its_parts():
    assert SETPOINT_PROTECTS.on("setpoint.pit.h2s.low") == "setpoint.pit.h2s.low.protects"
    for start in ("setpoint.pit.h2s", "setpoint.pit", "hose.pit.four.wait"):
        with pytest.raises(ValueError, match="begins with"):
            SETPOINT_PROTECTS.on(start)


@pytest.mark.parametrize(("number", "part"), [(Fraction(5, 2), "2-5"), (Fraction(20), "20"), ("19.5", "19-5")])
def test_a_number_in_a_key_has_no_dot(number, part):
    assert number_part(number) == part


# ---- the page of keys ----------------------------------------------------------------


def test_the_page_of_keys_is_the_one_that_the_families_write():
    written = (ROOT / "docs" / "keys.md").read_text(encoding="utf-8")
    assert written == document(), "python -m builder.program.keys docs/keys.md"


def test_every_family_is_documented():
    told = (ROOT / "docs" / "keys.md").read_text(encoding="utf-8").splitlines()
    for family in FAMILIES:
        rows = [line for line in told if line.startswith(f"| `{family.form}` |")]
        assert len(rows) == 1, family.form
        assert family.meaning.strip(), family.form
        assert family.unit.strip(), family.form


def test_every_part_is_explained_and_used():
    used = {part for family in FAMILIES for part in family.parts}
    assert used == {part.name for part in PARTS}
    assert len({part.name for part in PARTS}) == len(PARTS)


def test_no_form_is_declared_twice():
    assert len({family.form for family in FAMILIES}) == len(FAMILIES)


def test_an_example_is_a_key_of_its_family():
    choices = {part.name: part.choices for part in PARTS if part.choices}
    assert [family.form for family in FAMILIES if not family.fits(example(family), choices)] == []
