"""Parts that wear: who is asked to change them, when, by which records, and what is told; days counted by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from builder.base.where import Given, Where
from builder.figures.compute import compute
from builder.figures.due_checks import State
from builder.findings.order import find
from builder.program.faults import Faults
from builder.program.interval import interval_of
from builder.program.read import with_parts
from tests.findings.scale import row

SOUND = Path(__file__).parent / "sound"
AS_OF = date(2026, 11, 25)
HERE = Where("models.yaml", 1)


def every(text):
    return interval_of(Given(text, HERE, text), Faults())


@pytest.fixture(name="planned")
def _planned(program_of):
    """The sound site whose pumped model has a filter for three months, changed by the plan every six."""

    def plan(*records, last=None, check="6 months", model="3 months"):
        program = program_of(SOUND)
        pumped = replace(program.models["pumped"], parts={"pump-filter": every(model)})
        block = program.checks["pump-block"]
        asked = replace(block.intervals[0], interval=every(check))
        change = replace(block, id="filter", name="Filter", kind="replacement", intervals=(asked,),
                         part=Given("pump-filter", HERE, ""))  # fmt: skip
        models = {**program.models, "pumped": pumped}
        unit = program.units["d-1"]
        days = {**unit.last, "filter": Given(last, HERE, "")} if last else unit.last
        return replace(
            program,
            models=models,
            checks=with_parts({**program.checks, "filter": change}, models),
            units={**program.units, "d-1": replace(unit, last=days)},
            records=records,
        )

    return plan


def changed(day, part="pump-filter", kind="replacement"):
    made = row(2, "d-1", datetime(2026, 11, day, 6, tzinfo=UTC), kind, result="pass")
    return replace(made, part=Given(part, made.where, part) if part else None)


def asked_of(program):
    return {due.unit.id for due in compute(program, AS_OF).due_checks if due.check.id == "filter"}


def test_it_is_asked_of_models_that_have_the_part(planned):
    program = planned()
    pumped = {unit.id for unit in program.units.values() if unit.model.value == "pumped"}
    assert asked_of(program) == pumped
    assert pumped < set(program.units)


@pytest.mark.parametrize(
    ("check", "model", "due", "by"),
    [
        # 26 August and three months; 27 May and six would have been stricter only from May
        ("6 months", "3 months", date(2026, 11, 26), "manufacturer"),
        ("2 months", "3 months", date(2026, 10, 26), "site"),
    ],
)
def test_the_stricter_of_plan_and_model_holds(planned, check, model, due, by):
    ledger = compute(planned(last=date(2026, 8, 26), check=check, model=model), AS_OF).ledger
    assert ledger["unit.d-1.filter.due"].exact == due
    assert ledger["unit.d-1.filter.interval"].note.startswith(f"{by}: ")


@pytest.mark.parametrize(
    ("records", "last"),
    [
        ([changed(20)], date(2026, 11, 20)),
        ([changed(20, "clip")], date(2026, 8, 26)),  # another part
        ([changed(20, "", "inspection")], date(2026, 8, 26)),  # the whole unit
        ([changed(20, kind="inspection")], date(2026, 8, 26)),  # looked at, not changed
    ],
)
def test_only_a_change_of_that_part_counts(planned, records, last):
    ledger = compute(planned(*records, last=date(2026, 8, 26)), AS_OF).ledger
    assert ledger["unit.d-1.filter.last"].exact == last


def test_an_inspection_of_a_part_is_none_of_the_unit(planned):
    program = planned(changed(20, kind="inspection"))
    whole = replace(program.checks["filter"], id="look", kind="inspection", part=None)
    program = replace(program, checks={**program.checks, "look": whole})
    assert compute(program, AS_OF).ledger.get("unit.d-1.look.last") is None


@pytest.mark.parametrize(("last", "state"), [(date(2026, 8, 25), State.IN_DATE), (date(2026, 8, 24), State.OVERDUE)])
def test_the_due_day_itself_is_good(planned, last, state):
    program = planned(last=last)
    computed = compute(program, AS_OF)
    (due,) = [one for one in computed.due_checks if one.unit.id == "d-1" and one.check.id == "filter"]
    assert due.state is state
    told = [f for f in find(computed) if f.rule == "check-overdue" and f.subject == "unit:d-1"]
    assert ["every 3 months)" in f.message for f in told] == ([True] if state is State.OVERDUE else [])


def test_a_part_that_nobody_looks_after_is_told(planned):
    program = planned(last=AS_OF)
    told = "part-without-check"
    assert told not in {f.rule for f in find(compute(program, AS_OF))}
    plan = {name: check for name, check in program.checks.items() if name != "filter"}
    units = {name: replace(unit, last={k: v for k, v in unit.last.items() if k != "filter"})
             for name, unit in program.units.items()}  # fmt: skip
    program = replace(program, checks=plan, units=units)
    (found,) = [f for f in find(compute(program, AS_OF)) if f.rule == told]
    assert (found.touches, found.severity.value) == (("model:pumped",), "note")
