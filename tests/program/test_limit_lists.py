"""A list of limits that the site brought (invented) is a list like any other: chosen, protected, printed, told of."""

from __future__ import annotations

from datetime import date

import pytest

from builder.cli import run
from builder.figures.compute import compute
from builder.findings.order import find
from builder.reference.limits import LIMIT_KINDS, shipped_lists
from builder.reference.rules import place

DAY = date(2026, 11, 25)
CHOICE = ("site.yaml", "limits: [osha, niosh]", "limits: [works, osha, niosh]")
LIST = """\
id: works
short: Works
name: Invented list of the works (policy)
title: Limits made up for a test
edition: third
how-read: written down for the test
read-on: 2026-10-01
evidence: recommendation
limits:
  - {gas: hydrogen-sulfide, ceiling: 6 ppm, page: p. 7}
  - {gas: hydrogen-sulfide, ceiling: 4 ppm, from: 2027-01-01}
  - {gas: carbon-dioxide, twa: 0.5 %vol, not-read: true}
  - {gas: acetone, twa: 250 ppm, note: of no concern here}
"""


@pytest.fixture
def with_list(changed):
    def make(text: str = LIST, *changes: tuple[str, str, str]):
        folder = changed(*changes)
        (folder / "lists").mkdir()
        (folder / "lists" / "works.yaml").write_text(text, encoding="utf-8")
        return folder

    return make


def test_the_list_is_read_like_one_that_ships(program_of, with_list):
    library = program_of(with_list()).library
    assert list(library.limit_lists()) == [*shipped_lists(), "works"]
    works = library.limit_list("works")
    assert (works.label, works.called("twa")) == ("Works limit", "Works limit 8 h TWA")
    assert works.kinds == ("twa", "ceiling")
    limit = library.limits("hydrogen-sulfide", "works", DAY)["ceiling"]
    assert (limit.text, limit.unit, limit.read, limit.read_once) == ("6", "ppm", True, True)
    assert limit.locator == "p. 7, lists/works.yaml:10"
    assert library.limits("hydrogen-sulfide", "works", date(2027, 1, 1))["ceiling"].text == "4"
    # 1 %vol is 10,000 ppm
    average = library.limits("carbon-dioxide", "works", DAY)["twa"]
    assert (average.text, average.read) == ("5000", False)
    # a gas that the site does not use may stand in the list, as in a licensed copy of a whole list
    assert library.limits("acetone", "works", DAY)["twa"].note == "of no concern here"
    assert library.sources()[-1].cited() == "Limits made up for a test; edition: third"


def test_a_second_reading_lifts_the_mark(program_of, with_list):
    text = LIST.replace("read-on:", "second-reading: read against the print by another person\nread-on:")
    library = program_of(with_list(text)).library
    assert not library.limits("hydrogen-sulfide", "works", DAY)["ceiling"].read_once


def test_its_limits_are_figures_and_alarms_may_protect_them(program_of, with_list):
    protects = ("setpoints.yaml", "5 ppm, protects: niosh.ceiling", "5 ppm, protects: works.ceiling")
    program = program_of(with_list(LIST, CHOICE, protects))
    computed = compute(program, DAY)
    ledger = computed.ledger
    figure = ledger["gas.hydrogen-sulfide.limit.works.ceiling"]
    assert (figure.printed, figure.label) == ("6\u00a0ppm", "Works limit ceiling of Sour gas")
    assert "superseded from 1 Jan 2027 on, by 4 ppm" in figure.note
    assert "read in one copy only" in figure.note
    assert ledger["gas.hydrogen-sulfide.limit.works.ceiling.mg-m3"].unit == "mg/m3"
    told = {one.rule for one in find(computed)}
    assert "limit-missing" not in told
    assert "value-read-once" in told


def test_the_command_prints_it(with_list, capsys):
    assert run(["gas", "H2S", "--content", str(with_list())]) == 0
    out = capsys.readouterr().out
    assert "Works ceiling (superseded from 2027-01-01 on)" in out
    assert "works: Limits made up for a test; edition: third" in out
    assert run(["gas", "H2S"]) == 0
    assert "Works" not in capsys.readouterr().out


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("id: works\n", "id: osha\n", "limit list id 'osha' stands twice"),
        ("gas: acetone", "gas: aceton", "gas 'aceton'; allowed: a gas of gases.yaml or of the library"),
        ("twa: 250 ppm", "twa: 250 mg/m3", "'250 mg/m3' for 'twa'; allowed: a quantity in ppm or %vol"),
        ("ceiling: 6 ppm, page: p. 7", "page: p. 7", "an entry without a limit; allowed: one or more of twa"),
        (", from: 2027-01-01", "", "'hydrogen-sulfide' stands twice for one day (first at lists/works.yaml:10)"),
        ("edition: third\n", "", "a list of limits has no 'edition'"),
        ("evidence: recommendation", "evidence: rumour", "'rumour' for 'evidence'; allowed: one of standard, law"),
        ("twa: 250 ppm", "tlv: 250 ppm", "unknown key 'tlv' in limit"),
    ],
)
def test_what_is_wrong_with_a_list(told, with_list, old, new, message):
    assert LIST.count(old) == 1
    found = told(with_list(LIST.replace(old, new)))
    assert any(message in line and line.startswith("lists/works.yaml:") for line in found), found


def test_a_list_nobody_brought_is_unknown(told, changed):
    (line,) = told(changed(CHOICE))
    assert line.startswith("site.yaml:11: unknown limit list 'works'; allowed: one of ")
    assert all(name in line for name in shipped_lists())


def test_a_list_that_cannot_be_read_is_told_once(told, with_list):
    found = told(with_list("id: [works\n", CHOICE))
    assert all(line.startswith("lists/works.yaml") for line in found)
    assert found


def test_an_area_takes_the_rules_and_lists_of_its_place(program_of, changed):
    pit = ("areas.yaml", "    name: Valve pit\n", "    name: Valve pit\n    place: us-shipyard\n")
    program = program_of(changed(pit))
    area = program.areas["pit"]
    assert program.place_of(area).value == "us-shipyard"
    # 29 CFR 1915.1000 Table Z in place of 1910.1000; the recommendation counts everywhere
    assert program.limit_lists_in(area) == (*place("us-shipyard").lists, "niosh")
    others = [one for one in program.areas.values() if one is not area]
    assert {program.place_of(one).value for one in others} <= {"us-general-industry"}
    assert program.limit_lists == ("osha", "niosh", "osha-shipyard")
    ledger = compute(program, DAY).ledger
    # 29 CFR 1915.12(a)(2) with 1915.11(b): less than 22.0 %vol of oxygen; 1910.146(b) has 23.5
    assert ledger["limit.pit.oxygen-high"].printed == "≥\u00a022.0\u00a0%vol"
    assert ledger["gas.hydrogen-sulfide.limit.osha-shipyard.twa"].printed == "10\u00a0ppm"


def test_an_unknown_place_of_an_area_is_named_with_the_nearest(told, changed):
    (line,) = told(changed(("areas.yaml", "    name: Valve pit\n", "    name: Valve pit\n    place: us-shipyards\n")))
    assert "'us-shipyards' for 'place'" in line
    assert "nearest: us-shipyard" in line


def test_kinds_of_a_list_are_those_of_the_code(program_of, with_list):
    values = ", ".join(f"{kind}: {n} ppm" for n, kind in enumerate(LIMIT_KINDS, 1))
    rows = f"  - {{gas: toluene, {values}}}\n"
    works = program_of(with_list(LIST + rows)).library.limit_list("works")
    assert works.kinds == LIMIT_KINDS
