"""Registers on the site, names that stay off it, days of a unit, and all intervals beside the one in force."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from builder.base.where import Given, Where
from builder.figures.compute import compute
from builder.pages.blocks import Fig, Heading
from builder.program.card_copies import Copies
from builder.program.checks import AskedInterval
from builder.program.interval import Interval
from builder.program.movements import Movement
from builder.program.records import Person
from tests.figures.test_records_shown import row
from tests.pages.test_handbook import plain, tables

from .conftest import AS_OF, composed

NAME, HOLDER = "Kit Somebody", "Locker of Kit Somebody"
PLACE = Where("people.yaml", 2)


def given(value):
    return Given(value, PLACE, str(value))


@pytest.fixture(name="site", scope="module", params=[True, False], ids=["names", "no names"])
def _site(request, program):
    person = Person(
        id="ks", name=NAME, role=given("tester"), kinds=(given("use"), given("setting-change")),
        start=given(date(2026, 1, 1)), until=given(date(2026, 6, 30)), assessed_by=given("Pat Else"), where=PLACE,
    )  # fmt: skip
    moved = Movement(
        unit=given("d-001"), start=given(datetime(2026, 5, 1, 7, tzinfo=UTC)), end=None, state=given("in-use"),
        holder=given(HOLDER), area=None, certificate=None, note="", where=Where("movements/m.csv", 2),
    )  # fmt: skip
    held = Copies(card=given("pit-entrant"), holder=given(HOLDER), copies=given(3), revision=given(1), where=PLACE)
    changed = replace(
        program,
        site=replace(program.site, names_public=request.param),
        people={"ks": person},
        copies=(held,),
        movements=(moved,),
        records=(row(2, "2026-05-02T08:00", "calibration", "cat-flammable", "25", "25"),),
    )
    changed = replace(changed, records=(replace(changed.records[0], by=given("ks")),))
    computed = compute(changed, AS_OF)
    return request.param, composed(computed.program, computed.ledger)


def said(site, nodes, reference):
    page = site.page(reference)
    return "\n".join(plain(cell) for table in tables(nodes, page) for cells in table.rows for cell in cells)


def test_who_may_do_what_and_whose_time_is_over(site, nodes):
    public, made = site
    told = said(made, nodes, "page:people")
    assert "use, setting change" in told
    assert "lapsed on 30" in told
    assert (NAME in told, "Pat Else" in told, "ks" in told.split("\n")) == (public, public, not public)


def test_names_stand_on_no_page_unless_the_site_says_so(site, nodes):
    public, made = site
    everywhere = "\n".join(said(made, nodes, page.id) for page in made.pages)
    assert (NAME in everywhere, HOLDER in everywhere) == (public, public)


def test_copies_settings_and_fitted_sensors_have_a_page_each_that_says_what_is_not_known(site, nodes):
    _, made = site
    assert "3" in said(made, nodes, "page:copies").split("\n")
    assert "not known" in said(made, nodes, "page:fitted")
    words = made.page("page:read-back").blocks[0]
    assert plain(words.content).startswith("No settings were read back from any unit.")


def test_the_page_of_a_unit_tells_where_it_was_and_what_is_shown_of_each_day(site, nodes):
    _, made = site
    page = made.page("unit:d-001")
    heads = [plain(node.content) for node in nodes(page.blocks) if isinstance(node, Heading)]
    assert heads.index("Where it was") < heads.index("Fit before first use")
    told = said(made, nodes, "unit:d-001")
    assert "not shown fit" in told
    assert "no use of it is recorded that day: ask where it was" in told


def test_intervals_that_lose_stand_beside_the_one_in_force(program, nodes):
    check = program.checks["calibration"]
    looser = AskedInterval(
        interval=Given(Interval(count=12, unit="month", text="12 months"), PLACE, "12 months"),
        by=given("site"), areas=(),
        reason=given("Our own habit."), source=given("Site rule 4"),
    )  # fmt: skip
    check = replace(check, intervals=(looser, *check.intervals))
    changed = replace(program, checks={**program.checks, "calibration": check})
    made = composed(changed, compute(changed, AS_OF).ledger)
    page = made.page("check:calibration")
    (asked,) = [table for table in tables(nodes, page) if table.columns[0] == "Every"]
    assert [(plain(cells[0]), plain(cells[5])) for cells in asked.rows] == [
        ("6 months", "yes"),
        ("12 months", "no: another is stricter"),
    ]
    assert "also asked: 12 months (site)" in said(made, nodes, "check:calibration")
    unit = next(table for table in tables(nodes, made.page("unit:d-001")) if "Every" in table.columns)
    cells = next(cells for cells in unit.rows if plain(cells[0]) == "Calibration")
    assert [node.key for node in cells[3] if isinstance(node, Fig)] == ["unit.d-001.calibration.interval"]
    assert plain(cells[4]) == "12 months (site)"
