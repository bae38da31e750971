"""Mixtures, disturbing gases, oxygen up high, vapours and spans on the pages of the small site after changes."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from builder.figures.compute import compute
from builder.load.content import load_content
from builder.pages.compositions import figures_in
from builder.program.read import read_program
from builder.reference.library import library

MINIMAL = Path(__file__).resolve().parents[1] / "sites" / "minimal"
STILL = "      - {gas: oxygen, risk: deficiency, why: still air and rust}\n"
ACETONE = "      - {gas: acetone, why: brush cleaning}\n"
MIXTURE = "    mixtures:\n      - {id: both, name: Both together, parts: {propane: 50 %, acetone: 50 %}}\n"
CELL = "    calibrated-with: oxygen\n    life: 24 months\n"
CHANGES = (
    ("site.yaml", "  altitude: 120 m\n", "  altitude: 900 m\n  humidity: 60 %\n"),
    ("site.yaml", "shift: 8 h\n", "shift: 12 h\nlong-shift: brief-scala\n"),
    ("gases.yaml", "  - id: propane\n", "  - id: propane\n  - {id: acetone, clings-to-tubes: true}\n"),
    ("areas.yaml", "    temperature: 12 °C\n", "    temperature: 30 °C\n"),
    ("areas.yaml", STILL, STILL + ACETONE + MIXTURE),
    ("sensors.yaml", "      table: {propane: 1.9}\n", "      table: {propane: 1.9, acetone: 2}\n"),
    ("sensors.yaml", CELL, CELL + "    cross-sensitivity: {source: Invented sheet., table: {acetone: -1 %}}\n"),
    ("sensors.yaml", "    calibrated-with: methane\n", "    calibrated-with: propane\n"),
    ("models.yaml", "longest-hose: 30 m}", "longest-hose: 30 m, flow-block: 10 s}"),
)


def after(tmp_path, changes):
    folder = tmp_path / "content"
    shutil.copytree(MINIMAL, folder)
    for name, old, new in changes:
        path = folder / name
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, (name, old)
        path.write_text(text.replace(old, new), encoding="utf-8")
    documents, problems = load_content(folder)
    program = read_program(documents, problems, library())
    return program, compute(program, date(2026, 11, 25)).ledger


@pytest.fixture
def rich(tmp_path, compose):
    return compose(*after(tmp_path, CHANGES))


@pytest.mark.parametrize(
    ("page", "keys"),
    [
        (
            "area:pit",
            [
                "mixture.pit.both.lel",
                "mixture.pit.both.flammable.factor",
                "mixture.pit.both.propane.part",
                "mixture.pit.both.at-5",
                "mixture.pit.both.equivalent-limit",
                "cross.pit.o2-cell.acetone.apparent",
                "area.pit.acetone.reachable-lel",
                "gas.methane.lel.at-temperature.pit",
                "hose.pit.two-pumped.descent-speed",
            ],
        ),
        ("gas:acetone", ["gas.acetone.vapour-pressure", "area.pit.acetone.highest-vapour",
                         "cross.o2-cell.acetone.coefficient", "gas.acetone.limit.osha.twa.long-shift"]),
        ("gas:oxygen", ["oxygen.site.at-19-5.partial-pressure", "oxygen.site.at-23-5.sea-level",
                        "oxygen.site.at-20-9.partial-pressure-humid"]),
        ("page:home", ["oxygen.site.at-19-5.sea-level", "site.long-shift-factor"]),
        ("sensor:o2-cell", ["cross.o2-cell.acetone.coefficient"]),
        ("model:two-pumped", ["model.two-pumped.flow-block"]),
        ("cylinder:c-002", ["span.c-002.cat-flammable.enter"]),
    ],
)  # fmt: skip
def test_the_figures_stand_on_their_pages(rich, page, keys):
    assert set(keys) <= set(figures_in(rich.page(page)))
    assert all(key in rich.ledger for key in keys)


def test_every_figure_is_real(rich):
    for page in rich.pages:
        assert all(key in rich.ledger for key in figures_in(page)), page.id


def test_a_clinging_hazard_is_named_beside_the_hose(rich, words):
    assert any(
        "prove a new tube, or a new use of an old one, with the real substance" in text
        for text in words(rich.page("area:pit"))
    )


def test_on_low_ground_nothing_is_said_of_thin_air(made):
    for page in ("gas:oxygen", "page:home"):
        assert not [key for key in figures_in(made.page(page)) if key.endswith((".partial-pressure", ".sea-level"))]


def test_an_area_without_mixtures_or_disturbing_gases_says_nothing_of_them(made, words):
    text = list(words(made.page("area:pit")))
    assert "Mixtures met here" not in text
    assert "Gases that disturb a reading" not in text


def test_a_table_relative_to_another_gas_says_so(tmp_path, compose, words):
    old = "      convention: multiply-reading\n      relative-to: methane\n"
    new = "      convention: relative-response\n      relative-to: propane\n"
    proof = "      proof:\n        - {gas: propane, there: 50 %LEL, shown: 26 %LEL, source: invented}\n"
    table = ("sensors.yaml", f"      table: {{propane: 1.9}}\n{proof}", "      table: {methane: 2}\n")
    made = compose(*after(tmp_path, [("sensors.yaml", old, new), table]))
    page = made.page("sensor:cat-flammable")
    assert any("relative responses relative to" in text for text in words(page))
    assert "response.cat-flammable.propane.factor" in set(figures_in(page))


# EPA toxicological review of hydrogen sulfide (2003) and Chemical Safety Board bulletin 2003-10-B, as quoted by others
@pytest.mark.parametrize(
    ("gas", "said"),
    [("hydrogen-sulfide", "sense of smell away"), ("nitrogen", "feels nothing"), ("carbon-dioxide", "does not warn")],
)
def test_what_nobody_notices_is_said_on_the_page_of_the_gas(tmp_path, gas, said, compose, words):
    change = ("gases.yaml", "  - id: propane\n", f"  - id: propane\n  - {{id: {gas}}}\n")
    made = compose(*after(tmp_path, (change,)))
    assert any(said in text for text in words(made.page(f"gas:{gas}")))
