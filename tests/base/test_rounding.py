"""Rounding: the printed value lies on the stated side of the exact one, by less than a step. The contract is the
module's own docstrings; decisions are exact, and a value is rounded once."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.base.errors import OutOfRangeError
from builder.base.rounding import (
    THIN_SPACE,
    Direction,
    Rounding,
    decimals_of,
    grouped_digits,
    leading_exponent,
    plain,
    printed_text,
)
from tests.each import each

MINUS = "\N{MINUS SIGN}"


def rule(direction=Direction.NEAREST, **fields):
    return Rounding(direction=direction, why="a test", **fields)


def read_back(text):
    """The number a reader takes from printed text."""
    return Fraction(text.removeprefix("over ").replace(THIN_SPACE, "").replace(MINUS, "-"))


powers = st.integers(-12, 12).map(lambda n: Fraction(10) ** n)
values = st.one_of(
    st.builds(Fraction, st.integers(-(10**9), 10**9), st.integers(1, 10**6)),
    st.builds(lambda n, power: n * power, st.integers(-(10**4), 10**4), powers),
)
steps = st.builds(lambda n, power: n * power, st.integers(1, 500), powers)
rules = st.builds(lambda d, s: rule(d, step=s), st.sampled_from(Direction), steps) | st.builds(
    lambda d, n: rule(d, digits=n), st.sampled_from(Direction), st.integers(1, 8)
)


@given(values, rules)
def test_printed_is_on_the_stated_side_and_within_a_step(value, rounding):
    found, step = rounding.apply(value), rounding.step_for(value)
    if rounding.direction is Direction.UP:
        assert 0 <= found - value < step
    elif rounding.direction is Direction.DOWN:
        assert 0 <= value - found < step
    else:
        assert abs(found - value) <= step / 2


@given(values, rules)
def test_the_result_is_a_whole_number_of_steps(value, rounding):
    assert (rounding.apply(value) / rounding.step_for(value)).denominator == 1


@given(st.integers(-(10**6), 10**6), steps, st.sampled_from(Direction))
def test_an_exact_step_stays(count, step, direction):
    assert rule(direction, step=step).apply(count * step) == count * step


@given(values, rules)
def test_rounding_again_by_the_same_step_changes_nothing(value, rounding):
    found = rounding.apply(value)
    assert rule(rounding.direction, step=rounding.step_for(value)).apply(found) == found


@given(values, steps)
def test_up_and_down_mirror_each_other(value, step):
    assert rule(Direction.UP, step=step).apply(value) == -rule(Direction.DOWN, step=step).apply(-value)


@given(values, rules)
def test_the_text_read_back_is_what_was_rounded(value, rounding):
    assert read_back(printed_text(value, rounding)) == rounding.apply(value)


@given(values.filter(bool), st.integers(1, 8))
def test_digits_are_counted_from_the_first_one_that_is_not_zero(value, digits):
    """A number whose size is 10^e to under 10^(e+1), printed to n digits, moves in steps of 10^(e-n+1)."""
    exponent = leading_exponent(value)
    assert Fraction(10) ** exponent <= abs(value) < Fraction(10) ** (exponent + 1)
    assert rule(digits=digits).step_for(value) == Fraction(10) ** (exponent - digits + 1)


@each(
    ("value", "direction", "fields", "text"),
    [
        # Zero and what is nearly zero.
        ("0", Direction.UP, {"step": Fraction(1)}, "0"),
        ("0", Direction.DOWN, {"digits": 3}, "0"),
        ("0", Direction.NEAREST, {"step": Fraction("0.1")}, "0.0"),
        ("0.0001", Direction.UP, {"step": Fraction("0.1")}, "0.1"),
        ("0.0001", Direction.DOWN, {"step": Fraction("0.1")}, "0.0"),
        ("-0.0001", Direction.UP, {"step": Fraction("0.1")}, "0.0"),
        ("-0.0001", Direction.DOWN, {"step": Fraction("0.1")}, f"{MINUS}0.1"),
        # Ties go away from zero; 0.15 and 2.675 are ties only on exact numbers, not in binary.
        ("0.5", Direction.NEAREST, {"step": Fraction(1)}, "1"),
        ("-0.5", Direction.NEAREST, {"step": Fraction(1)}, f"{MINUS}1"),
        ("0.15", Direction.NEAREST, {"step": Fraction("0.1")}, "0.2"),
        ("2.675", Direction.NEAREST, {"step": Fraction("0.01")}, "2.68"),
        ("0.25", Direction.NEAREST, {"step": Fraction("0.5")}, "0.5"),
        # Digits: a carry adds a place, trailing zeros are kept.
        ("9.996", Direction.UP, {"digits": 3}, "10.00"),
        ("99.96", Direction.NEAREST, {"digits": 3}, "100.0"),
        ("1.5", Direction.NEAREST, {"digits": 4}, "1.500"),
        ("0.0012345", Direction.DOWN, {"digits": 2}, "0.0012"),
        # Huge and tiny.
        ("123456789", Direction.UP, {"digits": 3}, f"124{THIN_SPACE}000{THIN_SPACE}000"),
        ("1e30", Direction.NEAREST, {"digits": 1}, THIN_SPACE.join(["1"] + ["000"] * 10)),
        ("1e-40", Direction.UP, {"digits": 2}, "0." + "0" * 39 + "10"),
        # Steps that are no power of ten, below and above one.
        ("19.9", Direction.DOWN, {"step": Fraction("0.25")}, "19.75"),
        ("4", Direction.DOWN, {"step": Fraction("2.5")}, "2.5"),
        ("7", Direction.UP, {"step": Fraction("2.5")}, "7.5"),
        ("101", Direction.DOWN, {"step": Fraction(5)}, "100"),
    ],
)
def test_prints(value, direction, fields, text):
    assert printed_text(Fraction(value), rule(direction, **fields)) == text


@each(
    ("value", "text"),
    [("99.1", "100"), ("100", "100"), ("100.0001", "over 100"), ("1e9", "over 100"), ("-1", f"{MINUS}1")],
)
def test_above_its_cap_only_over_is_said(value, text):
    assert printed_text(Fraction(value), rule(Direction.UP, step=Fraction(1), cap=Fraction(100))) == text


def test_a_cap_is_grouped_like_any_number():
    assert printed_text(Fraction(20_001), rule(digits=2, cap=Fraction(20_000))) == f"over 20{THIN_SPACE}000"


@each(
    ("fields", "says"),
    [
        ({}, "a rounding has either a step or a number of significant digits"),
        ({"step": Fraction(1), "digits": 2}, "a rounding has either a step or a number of significant digits"),
        ({"step": Fraction(0)}, "a rounding step is positive"),
        ({"step": Fraction(-1)}, "a rounding step is positive"),
        ({"digits": 0}, "significant digits are 1 to 30"),
        ({"digits": 31}, "significant digits are 1 to 30"),
        ({"digits": 10**400}, "significant digits are 1 to 30"),
    ],
)
def test_a_rule_that_makes_no_sense_is_refused(fields, says):
    with pytest.raises(ValueError, match=f"^{says}$"):
        rule(**fields)


@pytest.mark.parametrize(
    ("rounding", "words"),
    [
        (rule(Direction.UP, step=Fraction("0.1")), "rounded up, step 0.1 (a test)"),
        (rule(Direction.DOWN, digits=3), "rounded down, 3 significant digits (a test)"),
        (rule(step=Fraction(1), cap=Fraction(100)), "rounded to nearest, step 1 (a test); above 100 printed as over"),
    ],
)
def test_a_rule_says_itself_in_words(rounding, words):
    assert rounding.words == words


@each(
    ("value", "places", "text"),
    [
        (Fraction(5), None, "5"),
        (Fraction(5, 2), None, "2.5"),
        (Fraction(-1, 8), None, "-0.125"),
        (Fraction(1, 3), None, "0.333333333333"),
        (Fraction(200, 3), None, "66.6666666667"),
        (Fraction(1, 2**40), None, "0.0000000000009094947017729282379150390625"),
        (Fraction(5, 2), 3, "2.500"),
        (Fraction(5, 2), 0, "3"),
        (Fraction(-1, 100), 1, "0.0"),
        (None, None, ""),
    ],
)
def test_plain_text(value, places, text):
    assert plain(value, places) == text


@given(st.integers(-(10**9), 10**9), st.integers(0, 20))
def test_plain_text_of_a_decimal_is_exact(digits, places):
    value = Fraction(digits, 10**places)
    assert Fraction(plain(value)) == value


@given(values.filter(bool))
def test_plain_text_of_anything_is_right_to_twelve_digits(value):
    assert abs(Fraction(plain(value)) / value - 1) <= Fraction(1, 10**11)


@each(
    ("text", "shown"),
    [
        ("0", "0"),
        ("9999", "9999"),
        ("10000", f"10{THIN_SPACE}000"),
        ("123456.7891", f"123{THIN_SPACE}456.7891"),
        ("1234567", f"1{THIN_SPACE}234{THIN_SPACE}567"),
        ("-12345", f"{MINUS}12{THIN_SPACE}345"),
        ("-0.5", f"{MINUS}0.5"),
    ],
)
def test_groups_of_three_from_five_digits_on(text, shown):
    """ISO 80000-1, 7.3.1: groups of three, separated by a small space; four digits may stay together."""
    assert grouped_digits(text) == shown


@given(st.integers(0, 60), st.integers(0, 60))
def test_decimals_needed_by_a_step(twos, fives):
    step = Fraction(1, 2**twos * 5**fives)
    places = decimals_of(step)
    assert (step * 10**places).denominator == 1
    assert places == 0 or (step * 10 ** (places - 1)).denominator != 1
    assert places == max(twos, fives)


def test_a_step_that_no_decimal_writes_is_refused():
    with pytest.raises(OutOfRangeError, match=r"^step 1/3 cannot be written as a decimal$"):
        decimals_of(Fraction(1, 3))


def test_zero_has_no_first_digit():
    with pytest.raises(OutOfRangeError, match=r"^zero has no significant digit$"):
        leading_exponent(Fraction(0))


def test_an_alarm_worked_back_through_a_factor_prints_the_sum_done_by_hand():
    """By hand: 10 %LEL / 1.9 = 5.26, which is 5 on a 1 % display and 5.2 on a 0.1 % display."""
    exact = Fraction(10) / Fraction("1.9")
    assert math.isclose(exact, 5.26, abs_tol=0.005)
    assert printed_text(exact, rule(Direction.DOWN, step=Fraction(1))) == "5"
    assert printed_text(exact, rule(Direction.DOWN, step=Fraction("0.1"))) == "5.2"


@pytest.mark.parametrize("value", ["2.344", "2.345", "2.346", "-2.344", "-2.345", "0.004", "-0.004", "199.996"])
@pytest.mark.parametrize("places", [0, 1, 2])
def test_text_of_fixed_places_is_to_nearest(value, places):
    """As the decimal module of Python's library rounds, half away from zero; a sign of zero is not written."""
    wanted = Decimal(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    assert plain(Fraction(value), places) == str(wanted or abs(wanted))


def test_twelve_digits_before_the_point_are_all():
    assert plain(Fraction(10**12, 3)) == "333333333333"  # by hand
