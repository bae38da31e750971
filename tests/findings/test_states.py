"""The state of every check: on the day, one day before and one after."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from builder.figures.due_checks import State, due_checks
from builder.pipeline import judge

MINIMAL = Path(__file__).parents[1] / "sites" / "minimal"


@pytest.fixture(scope="module")
def judged():
    return judge(MINIMAL, date(2026, 11, 25))


def on(judged, day, program=None):
    today = replace(judged.ledger["handbook.as-of"], exact=day)
    ledger = replace(judged.ledger, figures={**judged.ledger.figures, today.key: today})
    return {(due.unit.id, due.check.id): due for due in due_checks(program or judged.program, ledger)}


@pytest.mark.parametrize(
    ("days", "state"),
    [
        (-15, State.IN_DATE),
        (-14, State.SOON),
        (-1, State.SOON),
        (0, State.SOON),
        (1, State.OVERDUE),
        (400, State.OVERDUE),
    ],
)
def test_a_dated_check_is_soon_within_its_term_and_overdue_after_its_day(judged, days, state):
    due = judged.ledger["unit.d-001.calibration.due"].exact
    found = on(judged, due + timedelta(days=days))["d-001", "calibration"]
    assert (found.state, found.day, found.key) == (state, due, "unit.d-001.calibration.due")


def test_without_a_term_nothing_is_due_soon(judged):
    check = replace(judged.program.checks["calibration"], due_soon=None)
    program = replace(judged.program, checks={**judged.program.checks, "calibration": check})
    due = judged.ledger["unit.d-001.calibration.due"].exact
    found = on(judged, due, program)["d-001", "calibration"]
    assert found.state is State.IN_DATE


def test_a_daily_check_has_no_day_and_one_never_done_none_either(judged):
    found = on(judged, date(2026, 11, 25))
    assert (found["d-001", "bump-test"].state, found["d-001", "bump-test"].day) == (State.DAILY, None)
    assert (found["d-002", "calibration"].state, found["d-002", "calibration"].day) == (State.NEVER, None)


@pytest.mark.parametrize("state", ["quarantined", "repair", "retired"])
def test_nothing_falls_due_for_a_unit_that_must_not_be_used(judged, state):
    unit = judged.program.units["d-001"]
    program = replace(judged.program, units={"d-001": replace(unit, state=unit.state.becoming(state))})
    assert due_checks(program, judged.ledger) == ()


def test_a_pump_is_not_tested_where_there_is_none(judged):
    check = replace(judged.program.checks["bump-test"], id="flow", kind="flow-block", window={})
    program = replace(judged.program, checks={"flow": check})
    assert len(due_checks(program, judged.ledger)) == len(judged.program.units)
    model = replace(program.models["two-pumped"], pump=None)
    assert due_checks(replace(program, models={"two-pumped": model}), judged.ledger) == ()
