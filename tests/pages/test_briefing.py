"""The briefing sheet asks with the site's own numbers and answers with its own actions, waits and windows."""

from __future__ import annotations

from builder.pages.blocks import Fig, Strong, Table, Text, figures_in


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
