"""The briefing sheet asks with the site's own numbers and answers with its own actions, waits and windows."""

from __future__ import annotations

from builder.pages.blocks import Fig, Strong, Table, Text
from builder.pages.compositions import figures_in
from tests.conftest import DEMO
from tests.pages.conftest import AS_OF
from tests.shared import composed_once


def asked(made):
    """(keys of the figures of the question, its answer) of every question."""
    tables = [block for block in made.page("page:briefing").blocks if isinstance(block, Table) and block.columns[0]]
    return [(list(figures_in(row[0])), row[1]) for table in tables for row in table.rows]


def test_whoever_asks_about_an_alarm_hears_what_the_site_says_of_it(made):
    questions = [(keys[0].split("."), answer) for keys, answer in asked(made) if keys]
    assert questions
    for (_, area, channel, alarm), answer in questions:
        wanted = made.program.setpoint(area, channel).alarms[alarm].action.value
        assert answer == (Strong((Text(wanted),)),)


def test_a_tester_is_asked_for_waits_and_a_calibrator_for_windows(made):
    answers = [key for _, answer in asked(made) for key in figures_in(answer)]
    assert "hose.pit.two-pumped.wait" in answers
    assert any(key.startswith("window.c-001.") and key.endswith(".from") for key in answers)
    assert all(Fig(key).key in made.ledger for key in answers)


def test_windows_are_asked_only_of_sensors_that_a_unit_checked_with_the_cylinder_has(made):
    asked_for = [key.split(".") for _, answer in asked(made) for key in figures_in(answer) if key.startswith("window.")]
    assert asked_for
    for _, cylinder, sensor, *_ in asked_for:
        users = [unit for unit in made.program.units.values() if unit.checked_with(cylinder)]
        fitted = (part for unit in users for part in made.program.fitted(made.program.models[unit.model.value]))
        assert sensor in {one.id for _, one in fitted}


def test_going_in_and_hot_work_are_asked_with_the_readings_of_the_site():
    pages = composed_once(DEMO, AS_OF).single
    (briefing,) = (page for page in pages if page.id == "page:briefing")
    keys = set(figures_in(briefing.blocks))
    assert {"entry.oxygen.from", "entry.oxygen.to", "hot-work.flammable.to", "hot-work.flammable.stop"} <= keys
