"""What holds for a display of one scale is refused where displays of another are meant."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from builder.base.errors import ContentError
from builder.load.content import load_content
from builder.program.read import read_program
from builder.reference.library import library

MINIMAL = Path(__file__).parent.parent / "sites" / "minimal"
CARD = """id: visitors
title: Visitors
audience: contractor
{scale}format: A7
languages: [en]
front:
  - block: text
    title: Your detector
    body: "{body}"
"""


@pytest.fixture(name="faults")
def _faults(tmp_path):
    def read(body, scale="scale: methane\n"):
        folder = shutil.copytree(MINIMAL, tmp_path / "content")
        (folder / "cards" / "visitors.yaml").write_text(CARD.format(scale=scale, body=body), encoding="utf-8")
        documents, problems = load_content(folder)
        try:
            read_program(documents, problems, library())
        except ContentError as error:
            return [f"{one.where}: {one.found}" for one in error.problems]
        return []

    return read


# the flammable sensor of the small site is scaled in methane (tests/sites/minimal/sensors.yaml)
@pytest.mark.parametrize(
    ("scale", "body", "kept"),
    [
        ("methane", "Set {{setpoint.pit.flammable.low}}.", True),
        ("propane", "Set {{setpoint.pit.flammable.low}}.", False),
        ("propane", "Set {{setpoint.pit.ch4.low}}.", False),
        ("propane", "Five is {{reading.pit.propane.at-5}}.", False),
        ("propane", "Times {{response.cat-flammable.propane.factor}}.", False),
        ("propane", "Passes {{window.c-001.cat-flammable.bump-test.from}}.", False),
        # true values, limits and oxygen hold for every display
        ("propane", "Really {{setpoint.pit.propane.low.true}}, limit {{limit.pit.flammable}}.", True),
        ("propane", "Set {{setpoint.pit.oxygen.low}}.", True),
    ],
)
def test_a_card_for_displays_of_one_scale_prints_what_holds_for_it(faults, scale, body, kept):
    found = faults(body.replace("{{", "{").replace("}}", "}"), f"scale: {scale}\n")
    assert (found == []) is kept
    if not kept:
        assert found[0].startswith("cards/visitors.yaml:10: ")
        assert (
            "holds for a display scaled in methane, and stands where displays scaled in propane are meant" in found[0]
        )


def test_a_card_for_contractors_names_its_scale(faults):
    assert faults("Ask.", "") == ["cards/visitors.yaml:1: a card for contractors that names no scale"]


@pytest.mark.parametrize("block", ["limits", "alarm-actions", "test-order"])
@pytest.mark.parametrize(("scale", "kept"), [("methane", True), ("propane", False)])
def test_blocks_print_only_what_the_displays_meant_can_show(faults, block, scale, kept):
    found = faults(f'Ask."\n  - block: {block}\n    title: "There', f"scale: {scale}\narea: pit\n")
    assert (found == []) is kept, found
    if not kept:
        assert found[0].startswith(
            f"cards/visitors.yaml:12: block '{block}' of 'pit', where displays are scaled in methane"
        )


CALIBRATOR = """id: visitors
title: Bench
audience: calibrator
format: A7
languages: [en]
front:
{block}  - block: text
    title: As left
    body: "From {{window.c-001.cat-flammable.bump-test.from}}."
"""
BUMP = "  - {block: bump, cylinder: c-001, check: bump-test}\n"


# a reading that passes a bump test may lie far outside the window of a calibration
@pytest.mark.parametrize(("block", "kept"), [("", False), (BUMP, True)])
def test_a_calibration_card_prints_no_window_of_another_check(tmp_path, block, kept):
    folder = shutil.copytree(MINIMAL, tmp_path / "content")
    (folder / "cards" / "visitors.yaml").write_text(CALIBRATOR.format(block=block), encoding="utf-8")
    documents, problems = load_content(folder)
    if kept:
        read_program(documents, problems, library())
        return
    with pytest.raises(ContentError) as raised:
        read_program(documents, problems, library())
    (problem,) = raised.value.problems
    assert problem.found == (
        "window.c-001.cat-flammable.bump-test.from is a window of 'bump-test', where calibration is meant"
    )
