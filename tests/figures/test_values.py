"""Values of arguments, as a file keeps them and as words tell them."""

from __future__ import annotations

import json
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.base.plain_pickle import packed, unpacked
from builder.base.quantity import UNITS, quantity
from builder.figures.figure import Input
from builder.figures.recompute import contradicts
from builder.figures.terms import value_text
from builder.figures.values import json_value, value_of_json
from builder.program.interval import Interval
from tests.each import each

NUMBERS = st.fractions()
PLAIN = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.text(max_size=9),
    NUMBERS,
    st.dates(),
    st.builds(quantity, NUMBERS, st.sampled_from(sorted(UNITS))),
    st.builds(Interval, count=st.integers(0, 99), unit=st.sampled_from(["day", "month"]), text=st.text(max_size=9)),
)


def same(one, other):
    if isinstance(one, tuple):
        return len(one) == len(other) and all(map(same, one, other))
    return type(one) is type(other) and one == other


@given(value=PLAIN | st.lists(PLAIN, max_size=4).map(tuple))
def test_every_value_survives_the_file_exactly(value):
    assert same(value_of_json(json.loads(json.dumps(json_value(value)))), value)


def test_a_ledger_is_plain_data_that_a_folder_can_keep(any_ledger):
    """Whoever asks again takes the figures from there; nothing bound to one process may be among them."""
    again = unpacked(packed(dict(any_ledger.figures)))
    assert again == dict(any_ledger.figures)


@each("told", [1.5, {}, {"number": "1", "unit": "furlong"}, {"unit": "s"}, {"day": "soon"}])
def test_what_no_builder_writes_is_refused(told):
    with pytest.raises(ValueError, match=r"no value|isoformat"):
        value_of_json(told)


HALF = quantity("0.5", "L/min")


@each(
    ("text", "value", "expected"),
    [
        ("0.5 L/min", HALF, ""),
        ("500 mL/min", HALF, ""),  # the same amount, in the author's own unit
        ("0.6 L/min", HALF, "0.5\u00a0L/min"),
        ("0.5 L", HALF, "0.5\u00a0L/min"),
        ("≥ 10 %LEL", quantity(10, "%LEL"), ""),
        ("> 11 %LEL", quantity(10, "%LEL"), "10\u00a0%LEL"),
        ("0.53", quantity("0.53", ""), ""),
        ("0.54", quantity("0.53", ""), "0.53"),
        ("49", quantity(50, "%LEL"), ""),  # a bare number beside a unit may be of another one
        ("2026-11-25T07:30+01:00", date(2026, 11, 25), ""),
        ("2026-11-26", date(2026, 11, 25), "2026-11-25"),
        ("25\u00a0Nov\u00a02026", date(2026, 11, 25), ""),
        ("25/11/2026 07:30", date(2026, 11, 25), ""),
        ("11/25/26 07:30", date(2026, 11, 25), ""),  # nobody knows the author's order of day and month
        ("25/11/2026 07:30", date(2026, 11, 26), "26\u00a0Nov\u00a02026"),
        ("25/11/2026 07:30", date(2021, 11, 25), "25\u00a0Nov\u00a02021"),
        ("6 months", Interval(count=6, unit="month", text="6 months"), ""),
        ("7 months", Interval(count=6, unit="month", text="6 months"), "6 months"),
        ("yes", False, "no"),
        ("H2S", "H2S", ""),
        ("CO", "H2S", "H2S"),
        ("none", None, ""),
        ("3", Fraction(3), ""),
        ("4", Fraction(3), "3"),
    ],
)
def test_words_are_held_against_values(text, value, expected):
    assert contradicts(text, value) == expected


def test_a_day_in_digits_with_points_is_spelled_on_pages_and_kept_as_written_in_the_ledger():
    told = Input(label="recorded", text="05.10.2026 08:00", value=date(2026, 10, 5))
    assert (told.text, told.seen) == ("05.10.2026 08:00", "5\u00a0Oct\u00a02026")
    assert Input(label="recorded", text="2026-10-05", value=date(2026, 10, 5)).seen == "2026-10-05"
    assert Input(label="share", text="5.10.2", value=None).seen == "5.10.2"


@each(
    ("value", "told"),
    [
        (quantity(30, "min"), "30\u00a0min"),
        (quantity("2.50", "mg/m3"), "2.5\u00a0mg/m³"),
        (quantity(5, ""), "5"),
        (date(2026, 11, 25), "25\u00a0Nov\u00a02026"),
        (True, "yes"),
    ],
)
def test_a_value_is_told_as_it_is_printed_elsewhere(value, told):
    assert value_text(value) == told
