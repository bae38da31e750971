"""The ledger: each figure once, made from what is there, and found by any spelling a person may try."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from builder.base.errors import UnknownKeyError
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure, Input
from builder.figures.ledger import LedgerBuilder, formula_names


def figure(key, *made_from, exact=Fraction(1), rounding=None, unit=""):
    inputs = tuple(Input(label=name, text="1", figure=name) for name in made_from)
    return Figure(
        key=key,
        label=key,
        exact=exact,
        unit=unit,
        text="1",
        rounding=rounding,
        formula="x.y",
        inputs=inputs,
        source="s",
    )


@pytest.fixture
def builder():
    return LedgerBuilder({"h2s": "hydrogen-sulfide"})


def test_a_key_twice_is_refused(builder):
    builder.add(figure("a.b"))
    with pytest.raises(ValueError, match=r"^figure a\.b made twice$"):
        builder.add(figure("a.b"))


def test_an_input_that_was_never_made_is_refused(builder):
    with pytest.raises(ValueError, match=r"^figure a is made from b, which does not exist$"):
        builder.add(figure("a", "b"))


def test_a_figure_cannot_be_made_from_itself(builder):
    with pytest.raises(ValueError, match=r"^figure a is made from a, which does not exist$"):
        builder.add(figure("a", "a"))


def test_an_alias_never_hides_a_figure(builder):
    builder.alias("b", "a")
    builder.add(figure("a"))
    builder.add(figure("b"))
    assert builder.finish()["b"].key == "b"


def test_the_first_alias_counts(builder):
    builder.add(figure("a"))
    builder.add(figure("b"))
    builder.alias("c", "a")
    builder.alias("c", "b")
    assert builder.finish().resolve("c") == "a"


def test_a_gas_may_be_written_by_its_formula_anywhere_in_a_key(builder):
    builder.add(figure("gas.hydrogen-sulfide.lel"))
    builder.alias("setpoint.pit.hydrogen-sulfide.low", "gas.hydrogen-sulfide.lel")
    ledger = builder.finish()
    assert ledger.resolve("gas.h2s.lel") == "gas.hydrogen-sulfide.lel"
    assert ledger.resolve("setpoint.pit.h2s.low") == "gas.hydrogen-sulfide.lel"
    assert ledger.resolve("gas.h2s.uel") is None


def test_a_formula_that_isomers_share_names_none_of_them():
    pairs = [("C4H8", "isobutylene"), ("C4H8", "butene"), ("C7H8", "toluene"), ("CH4", "methane"), ("CH4", "methane")]
    assert formula_names(pairs) == {"c7h8": "toluene", "ch4": "methane"}


def test_users_are_the_figures_made_from_each(builder):
    for one in (figure("a"), figure("b", "a", "a"), figure("c", "a", "b")):
        builder.add(one)
    assert builder.finish().users == {"a": ("b", "c"), "b": ("c",)}


def test_under_takes_whole_parts_of_a_key(builder):
    for key in ("gas.a", "gas.a.lel", "gas.ab.lel"):
        builder.add(figure(key))
    assert [one.key for one in builder.finish().under("gas.a")] == ["gas.a.lel"]


def test_an_unknown_key_names_the_nearest(ledger):
    with pytest.raises(UnknownKeyError) as caught:
        ledger["gas.methan.lel"]
    assert str(caught.value) == (
        "no figure has the key 'gas.methan.lel'; nearest: gas.methane.lel, gas.methane.uel, gas.methane.lel.ppm"
    )
    assert ledger.get("gas.methan.lel") is None
    assert "gas.methan.lel" not in ledger


def test_of_a_key_with_a_slip_the_gas_counts_whichever_way_it_is_written(ledger):
    with pytest.raises(UnknownKeyError) as caught:
        ledger["setpoint.the-pit.h2s.low"]
    assert caught.value.nearest[0] == "setpoint.pit.hydrogen-sulfide.low"


def test_a_date_is_no_number_and_a_number_no_date(builder):
    builder.add(figure("day", exact=date(2026, 11, 25)))
    builder.add(figure("number"))
    ledger = builder.finish()
    assert ledger.day("day") == date(2026, 11, 25)
    with pytest.raises(TypeError, match=r"^number is no date$"):
        ledger.day("number")
    with pytest.raises(TypeError, match=r"^day is a date$"):
        _ = ledger["day"].rounded
    with pytest.raises(TypeError, match=r"^day is a date$"):
        _ = ledger["day"].amount


def test_what_is_printed_is_held_together_and_what_it_stands_for_is_exact():
    rule = Rounding(direction=Direction.UP, step=Fraction(1), why="a test")
    one = figure("a", exact=Fraction(19, 10), rounding=rule, unit="mg/m3")
    assert one.printed == "1\u00a0mg/m³"
    assert one.rounded == 2
    assert one.amount.magnitude == Fraction(19, 10)
