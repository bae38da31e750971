"""What an auditor reads first: which checks a unit is asked for, which rule a setpoint was held against, and that
records are old."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.base.finding import Finding, Severity
from builder.base.where import Given, Where
from builder.figures.compute import compute
from builder.pages.blocks import Absent, Fig, Text
from tests.figures.test_records_shown import row
from tests.pages.test_gas_science import after
from tests.pages.test_handbook import plain, tables

from .conftest import AS_OF, FINDINGS, composed

NO_RULE = "no rule with a number for this place and these activities"


@pytest.fixture(scope="module")
def partless(program):
    """The site with a bump test that is asked only of models with a part, which its one model lacks."""
    check = replace(program.checks["bump-test"], part=Given("pump-filter", Where("checks.yaml", 2), "pump-filter"))
    program = replace(program, checks={**program.checks, "bump-test": check})
    return composed(program, compute(program, AS_OF).ledger)


def test_a_unit_does_not_list_checks_it_is_not_asked_for(made, partless, nodes):
    for site, listed in ((made, ["Bump test", "Calibration"]), (partless, ["Calibration"])):
        table = next(t for t in tables(nodes, site.page("unit:d-001")) if t.columns[0] == "Check")
        assert [plain(found[0]) for found in table.rows] == listed


def test_a_check_lists_only_units_it_is_asked_of(made, partless, nodes):
    for site, count in ((made, 2), (partless, 0)):
        table = next(t for t in tables(nodes, site.page("check:bump-test")) if t.columns[:2] == ("Unit", "Place"))
        assert len(table.rows) == count


def test_a_rule_is_said_once_with_its_areas_and_areas_without_one_together(program, nodes):
    pit = program.areas["pit"]
    more = {
        "shaft": replace(pit, id="shaft", name="Shaft"),
        "attic": replace(pit, id="attic", name="Attic", activities=()),
        "yard": replace(pit, id="yard", name="Yard", activities=()),
    }
    for areas, words in (
        ({"pit": pit, **more}, (Text(" ("), Text("Valve pit"), Text("; "), Text("Shaft"), Text(")"), Text("; "),
                                Text("the other areas above: "), Absent(NO_RULE))),
        ({"pit": pit, "attic": more["attic"]}, (Text(" ("), Text("Valve pit"), Text(")"), Text("; "),
                                                Text("the other area above: "), Absent(NO_RULE))),
        ({"pit": pit}, ()),
    ):  # fmt: skip
        site = replace(program, areas=areas)
        page = composed(site, compute(site, AS_OF).ledger).page("page:setpoints")
        alarms = next(t for t in tables(nodes, page) if t.columns[0] == "Alarm")
        assert alarms.rows[-1][2] == (Text("the strictest rule: "), Fig("limit.pit.oxygen-high"))
        flammable = next(t for t in reversed(list(tables(nodes, page))) if t.columns[0] == "Alarm")
        assert flammable.rows[0][2] == (Text("the strictest rule: "), Fig("limit.pit.flammable"), *words)


def test_where_no_area_has_a_rule_that_is_all_that_is_said(program, nodes):
    attic = replace(program.areas["pit"], activities=())
    site = replace(program, areas={"pit": attic})
    alarms = [
        t
        for t in tables(nodes, composed(site, compute(site, AS_OF).ledger).page("page:setpoints"))
        if t.columns[0] == "Alarm"
    ]
    assert {found[2] for table in alarms for found in table.rows} == {(Absent(NO_RULE),)}


def test_the_first_page_says_that_records_are_old_when_a_finding_does(program, made, words):
    old = Finding(
        rule="records-end-early",
        severity=Severity.WARN,
        message="The newest record is of 1 May 2026.",
        where=Where("records/bench.csv", 2),
        source="common practice",
        mend="add the records of the days since then",
        subject="page:checks",
    )
    said = list(words(composed(program, made.ledger, (*FINDINGS, old)).page("page:home")))
    assert "Records end before today" in said
    assert any("The newest record is of 1 May 2026." in text for text in said)
    assert "Records end before today" not in list(words(made.page("page:home")))


@pytest.mark.parametrize("written", ["the manual, page 3", "the manual, page 3."])
def test_the_source_of_factors_ends_with_one_full_stop(program, made, words, written):
    sensor = program.sensors["cat-flammable"]
    factors = replace(sensor.factors, source=replace(sensor.factors.source, value=written))
    site = replace(program, sensors={**program.sensors, "cat-flammable": replace(sensor, factors=factors)})
    text = list(words(composed(site, made.ledger).page("sensor:cat-flammable")))
    assert any("come from: the manual, page 3. They hold" in part for part in text)


def test_setpoints_say_that_limits_for_a_long_turn_were_not_what_they_were_held_against(made, tmp_path, words):
    long = after(tmp_path, [("site.yaml", "shift: 8 h\n", "shift: 12 h\nlong-shift: brief-scala\n")])
    for site, said in ((composed(*long), True), (made, False)):
        text = list(words(site.page("page:setpoints")))
        assert any("an alarm can lie above them" in part for part in text) is said


def test_a_unit_shows_the_interval_its_readings_recommend(made, program, nodes):
    caption = "What the readings before adjustment teach"
    key = "unit.d-001.cat-flammable"
    drift, interval = made.ledger["unit.d-001.calibration.due"], made.ledger["gas.methane.lel"]
    more = {f"{key}.drift": replace(drift, key=f"{key}.drift")}
    for figures, shown in (
        (more, Absent("no interval is worked out")),
        ({**more, f"{key}.next-interval": replace(interval, key=f"{key}.next-interval")}, Fig(f"{key}.next-interval")),
    ):
        ledger = replace(made.ledger, figures={**made.ledger.figures, **figures})
        recorded = replace(program, records=(row(2, "2026-05-03T08:00", "inspection", result="pass"),))
        site = composed(recorded, ledger)
        (table,) = (t for t in tables(nodes, site.page("unit:d-001")) if t.caption == caption)
        assert [found[1:] for found in table.rows] == [((Fig(f"{key}.drift"),), (shown,))]
        assert caption not in [t.caption for t in tables(nodes, site.page("unit:d-002"))]
