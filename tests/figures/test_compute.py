"""Every figure of a site: its formula, its source, its inputs down to content lines and tables, its printed text."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction

import pytest

from builder.base.quantity import UNITS
from builder.base.rounding import THIN_SPACE
from builder.figures.compute import ledger_with
from builder.figures.figure import day_text
from builder.figures.formulas.registry import all_formulas
from builder.figures.trace import derivation
from builder.load.content import load_content
from builder.program.read import read_program
from builder.reference.library import library
from tests.each import each
from tests.figures.conftest import AS_OF


def leaves(step):
    return [leaf for part in step.parts for leaf in leaves(part)] if step.parts else [step]


def test_every_figure_has_a_registered_formula_and_a_source(ledger):
    known = {record.id for record in all_formulas()}
    assert [one.key for one in ledger if one.formula not in known or not one.source.strip()] == []


def test_every_figure_has_a_known_unit_and_a_label_of_its_own(ledger):
    assert {one.unit for one in ledger} <= set(UNITS)
    for one in ledger:
        assert one.label.strip(), one.key
        assert "\n" not in one.label, one.key


def test_every_input_exists_and_came_before(ledger):
    made = set()
    for one in ledger:
        assert {part.figure for part in one.inputs if part.figure} <= made, one.key
        made.add(one.key)


def test_a_figure_is_no_better_read_than_its_inputs(ledger):
    trusted = [one.key for one in ledger if one.read and not all(part.read for part in one.inputs if part.decides)]
    assert trusted == []


def test_every_derivation_ends_in_a_content_line_or_a_published_table(ledger):
    """Or in what the builder itself chose, which says so; the day of the build is given from outside."""
    for one in ledger:
        for leaf in leaves(derivation(ledger, one.key)):
            if leaf.figure is not None:
                assert leaf.figure.key == "handbook.as-of", one.key
            else:
                assert leaf.given.where or leaf.given.source, (one.key, leaf.label)


def test_every_content_line_a_derivation_names_holds_the_text_it_shows(ledger, site):
    seen = 0
    for one in ledger:
        for part in one.inputs:
            if part.where is not None:
                line = (site / part.where.file).read_text(encoding="utf-8").split("\n")[part.where.line - 1]
                assert part.label == "display scaled in" or part.text in line, (one.key, part)
                seen += 1
    assert seen > 100


def test_the_printed_text_is_the_rounded_value(ledger):
    for one in ledger:
        if isinstance(one.exact, date):
            assert one.text == day_text(one.exact)
        elif one.text == "each\u00a0day\u00a0of\u00a0use":
            assert one.exact == 0, one.key
        elif not one.text.startswith("over "):
            number, _, word = one.text.replace(THIN_SPACE, "").replace("\N{MINUS SIGN}", "-").partition("\u00a0")
            assert Fraction(number) == one.rounded, one.key
            words = ("", "day", "week", "month", "year", "working day", "day of use", "days of use")
            assert word.replace("\u00a0", " ").rstrip("s") in words, one.key


def test_rules_that_are_rounded_say_why(ledger):
    assert [one.key for one in ledger if one.rounding is not None and not one.rounding.why.strip()] == []


def test_a_derivation_is_the_whole_tree(ledger):
    top = derivation(ledger, "setpoint.pit.propane.high.vol")
    named = [(part.label, part.figure.key if part.figure else None) for part in top.parts]
    assert named == [
        ("setpoint as set", "setpoint.pit.flammable.high"),
        ("Response factor of Propane on Catalytic", "response.cat.propane.factor"),
        ("Lower explosive limit of Propane", "gas.propane.lel"),
    ]
    places = {str(leaf.given.where) for leaf in leaves(top) if leaf.given.where}
    rule = {"areas.yaml:4", "site.yaml:5"}  # activity and place of the limit that the alarm protects
    chosen = {"sensors.yaml:13", "sensors.yaml:14", "setpoints.yaml:4", "setpoints.yaml:6", "site.yaml:7"}
    assert places == chosen | rule
    sources = {leaf.given.source for leaf in leaves(top) if leaf.given.source}
    table, rule_of_the_place = sorted(sources, reverse=True)
    assert re.search(r"60079-20-1", table)
    assert re.search(r"1910\.146", rule_of_the_place)


@each(
    ("written", "real"),
    [
        ("setpoint.pit.h2s.low", "setpoint.pit.hydrogen-sulfide.low"),
        ("gas.ch4.lel", "gas.methane.lel"),
        ("setpoint.pit.propane.high", "setpoint.pit.flammable.high"),
        ("setpoint.pit.c3h8.high", "setpoint.pit.flammable.high"),
        ("setpoint.store.toluene.low", "setpoint.store.vapour.low"),
        ("oxygen.pit.displaced-by-1", "oxygen.displaced-by-1"),
        ("reading.pit.propane.at-2-5", "reading.pit.propane.at-2-5"),
    ],
)
def test_a_key_may_be_written_as_a_person_would(written, real, ledger):
    assert ledger[written].key == real
    assert written in ledger


@pytest.mark.parametrize(
    "key", ["setpoint.store.flammable.low", "gas.oxygen.lel", "limit.store.oxygen-low", "oxygen.store.displaced-by-1"]
)
def test_what_nobody_stated_or_published_is_absent(key, ledger):
    assert ledger.get(key) is None


def test_units_out_of_service_have_no_due_dates(ledger):
    assert list(ledger.under("unit.d-003")) == []
    assert {key.split(".")[1] for key in ledger.figures if key.startswith("unit.")} == {"d-001", "d-002"}


def test_the_same_content_on_the_same_day_gives_the_same_ledger(ledger, ledger_after):
    assert list(ledger_after()) == list(ledger)


def test_only_what_hangs_on_the_day_changes_with_it(ledger, ledger_after):
    later = ledger_after(as_of=date(2026, 12, 1))
    told_by_the_day = {
        "handbook.as-of",
        "cylinder.c-1.tests-a-day",
        "cylinder.c-1.runs-out",
        "cylinder.c-1.usable-until",
    }
    assert {one.key for one in ledger if later.get(one.key) != one} <= told_by_the_day


def test_cards_of_a_revision_not_yet_in_force_are_issued_on_the_day_of_the_build(ledger_after):
    early = ledger_after(as_of=date(2026, 9, 15))
    assert early.day("card.issued") == date(2026, 9, 15)
    assert early.day("card.pit-entrant.valid-until") == date(2027, 9, 15)


def test_cards_stay_those_of_the_revision_in_force_while_the_next_is_prepared(ledger_after):
    second = "number: 2\neffective: 2027-01-01\nreason: Next.\nprepared: A\nreviewed: B\napproved: C\n"
    early, late = (
        ledger_after(("revisions/2.yaml", "", second), as_of=day) for day in (date(2026, 12, 31), date(2027, 1, 1))
    )
    assert (early.day("card.issued"), late.day("card.issued")) == (date(2026, 10, 1), date(2027, 1, 1))


def test_what_is_computed_for_one_figure_is_what_all_of_them_are_computed_from(ledger, site):
    documents, problems = load_content(site)
    program = read_program(documents, problems, library())
    sizes = set()
    for key in list(ledger.figures)[::40]:
        made, whole = ledger_with(program, AS_OF, key)
        sizes.add(len(made.figures))
        assert derivation(made, key) == derivation(ledger, key)
        assert whole is (len(made.figures) == len(ledger.figures))
        assert made.figures.items() <= ledger.figures.items()
    assert len(sizes) > 5
