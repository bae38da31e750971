"""A ledger is made again from its file alone: as built nothing differs, and whatever is changed in it is found.

What is expected is what was there before the change, so it comes from outside the code that looks for it.
"""

from __future__ import annotations

import copy
import json
import random
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.base.quantity import UNITS
from builder.base.rounding import Direction, Rounding
from builder.base.spool import Spool
from builder.figures.recompute import LedgerDifference, recompute, rounding_of, rule_of
from builder.history.ledger_files import read_ledger
from builder.publish.ledger_json import put_ledger
from tests.trust.long import sample_of

SEEDS = sample_of(range(6), 3)
"""Which figures are changed: each day those of two seeds; `make trust` takes all."""


@pytest.fixture(name="told", scope="module")
def _told(any_ledger):
    """Figures as the file of a site keeps them."""
    put_ledger(files := Spool(), any_ledger, {}, {})
    return dict(read_ledger(files.__getitem__, "here").figures)


def below(told, key):
    """A figure and all that it was made from, so that many changes can be tried."""
    found, todo = {}, [key]
    while todo:
        name = todo.pop()
        if name not in found:
            found[name] = told[name]
            todo += [part["figure"] for part in told[name]["inputs"] if part["figure"]]
    return found


def changed(told, key, **fields):
    """The same figures with other fields in one."""
    return {**below(told, key), key: {**told[key], **fields}}


def keys_of(differences):
    return {one.key for one in differences}


def some(told, seed, count=12):
    return random.Random(seed).sample(sorted(told), count)


def test_as_built_nothing_differs(told):
    assert recompute(told) == ()


def test_it_reads_the_file_alone(told):
    """The order in the file is that of keys, which is not the order in which figures are made."""
    shuffled = sorted(told)
    random.Random(1).shuffle(shuffled)
    assert recompute({key: told[key] for key in shuffled}) == ()


@pytest.mark.parametrize("seed", SEEDS)
def test_another_exact_value_is_found(told, seed):
    for key in some(told, seed):
        exact = told[key]["exact"]
        other = str(Fraction(exact) + Fraction(1, 10**6)) if "-" not in exact[1:] else "2031-01-01"
        assert keys_of(recompute(changed(told, key, exact=other))) == {key}


def misread(text):
    """Another first digit, or in words, as in an interval, another word."""
    digit = next((digit for digit in text if digit.isdigit()), "")
    return text.replace(digit, str((int(digit) + 1) % 10), 1) if digit else text.replace("each", "no", 1)


@pytest.mark.parametrize("seed", SEEDS)
def test_another_text_is_found_where_it_stands_and_wherever_it_is_repeated(told, seed):
    in_numbers = {key: one for key, one in told.items() if any(sign.isdigit() for sign in one["text"])}
    for key in some(in_numbers, seed):
        text = told[key]["text"]
        other = misread(text)
        printed = told[key]["printed"].replace(text, other, 1)
        assert key in keys_of(recompute(changed(told, key, text=other)))
        both = recompute(changed(told, key, text=other, printed=printed))
        assert {one.what for one in both if one.key == key} == {"text", "printed"}


@pytest.mark.parametrize("seed", SEEDS)
def test_another_unit_is_found(told, seed):
    for key in some(told, seed):
        other = "min" if told[key]["unit"] == "s" else "s"
        assert key in keys_of(recompute(changed(told, key, unit=other)))
        assert key in keys_of(recompute(changed(told, key, unit="furlong")))


@pytest.mark.parametrize("seed", SEEDS)
def test_another_rounding_is_found(told, seed):
    rounded = [key for key in sorted(told) if told[key]["rule"]]
    for key in random.Random(seed).sample(rounded, 12):
        rule = told[key]["rule"]
        turned = {**rule, "direction": "up" if rule["direction"] == "down" else "down"}
        finer = {**rule, "step": str(Fraction(rule["step"]) / 10)} if "step" in rule else {**rule, "digits": 9}
        for other in (turned, finer, {**rule, "why": "because"}, None):
            assert key in keys_of(recompute(changed(told, key, rule=other)))


@pytest.mark.parametrize("seed", SEEDS)
def test_another_formula_or_version_is_found(told, seed):
    for key in some(told, seed):
        other = "stock.gas-left" if told[key]["formula"] != "stock.gas-left" else "gas.vol-to-ppm"
        assert key in keys_of(recompute(changed(told, key, formula=other)))
        assert key in keys_of(recompute(changed(told, key, formula="made.up")))
        assert key in keys_of(recompute(changed(told, key, version=7)))


def arguments(told, *, of_figures):
    """Every argument of every figure: key and number of the input."""
    for key in sorted(told):
        for number, part in enumerate(told[key]["inputs"]):
            if part.get("parameter") and bool(part["figure"]) == of_figures:
                yield key, number


def with_input(told, key, number, **fields):
    inputs = copy.deepcopy(told[key]["inputs"])
    inputs[number].update(fields)
    others = {} if fields.get("figure") not in told else below(told, fields["figure"])
    return {**others, **changed(told, key, inputs=inputs)}


def other_value(value):
    """A value a little beside another, in the same form."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, str):
        return "CH4" if value != "CH4" else "C2H6"
    if isinstance(value, list):
        return [other_value(part) for part in value]
    if "number" in value:
        return {**value, "number": str(Fraction(value["number"]) * Fraction(11, 10) + Fraction(7, 3))}
    if "day" in value:
        return {"day": "2021-02-03"}
    return {**value, "count": value["count"] + 1, "interval": f"{value['count'] + 1} days"}


def matters(told, key, number):
    """Whether the value decides: of a list that is one argument, or of rules that are no stricter, another may not."""
    part = told[key]["inputs"][number]
    if told[key]["formula"] == "history.trend" and part["parameter"] in ("found", "left", "expected"):
        return False  # a reading on the mean day, what is left at the end and what all are held against tilt no line
    return part["value"] is not None and part["decides"] and not isinstance(part["value"], list)


@pytest.mark.parametrize("seed", SEEDS)
def test_another_value_of_an_argument_is_found(told, seed):
    cases = [case for case in arguments(told, of_figures=False) if matters(told, *case)]
    for key, number in random.Random(seed).sample(cases, 12):
        value = told[key]["inputs"][number]["value"]
        assert key in keys_of(recompute(with_input(told, key, number, value=other_value(value))))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_value_changed_with_its_words_is_found_by_what_is_made_from_it(told, seed):
    """Even when its text says the same, the figure that states it comes out otherwise."""
    cases = [
        (key, number)
        for key, number in arguments(told, of_figures=False)
        if matters(told, key, number) and told[key]["formula"].startswith("origin.stated")
    ]
    for key, number in random.Random(seed).sample(cases, 12):
        value = other_value(told[key]["inputs"][number]["value"])
        text = value.get("interval") or f"{value['number']} {value.get('unit', '')}".strip()
        assert key in keys_of(recompute(with_input(told, key, number, value=value, text=text)))


@pytest.mark.parametrize("seed", SEEDS)
def test_another_figure_as_argument_is_found(told, seed):
    for key, number in random.Random(seed).sample(list(arguments(told, of_figures=True)), 12):
        part = told[key]["inputs"][number]
        wrong = next(one for one in sorted(told) if told[one]["printed"] != part["text"])
        assert key in keys_of(recompute(with_input(told, key, number, figure=wrong)))
        assert key in keys_of(recompute(with_input(told, key, number, figure="no.such.figure")))
        assert key in keys_of(recompute(with_input(told, key, number, text="17 ppm")))
        assert key in keys_of(recompute(with_input(told, key, number, read=not part["read"])))
        assert key in keys_of(recompute(with_input(told, key, number, taken="by guess")))
        assert key in keys_of(recompute(with_input(told, key, number, parameter="nonsense")))


def test_a_figure_that_rests_on_itself_is_told_and_ends(told):
    key, number = next(arguments(told, of_figures=True))
    assert key in keys_of(recompute(with_input(told, key, number, figure=key)))


def test_a_figure_taken_away_is_found_by_what_was_made_from_it(told):
    key, number = next(arguments(told, of_figures=True))
    gone = told[key]["inputs"][number]["figure"]
    left = {name: entry for name, entry in below(told, key).items() if name != gone}
    assert key in keys_of(recompute(left))


def test_a_difference_reads_as_a_sentence():
    one = LedgerDifference(key="a.b", what="exact", found="6", expected="5")
    assert str(one) == "a.b: exact is '6', not '5'"


@given(
    direction=st.sampled_from(Direction),
    why=st.text(min_size=1, max_size=9),
    step=st.fractions(min_value=Fraction(1, 1000), max_value=100),
    digits=st.none() | st.integers(1, 9),
    cap=st.none() | st.fractions(max_value=1000),
)
def test_a_rule_survives_the_file(direction, why, step, digits, cap):
    rule = Rounding(direction=direction, why=why, step=None if digits else step, digits=digits, cap=cap)
    assert rounding_of(json.loads(json.dumps(rule_of(rule)))) == rule
    assert rounding_of(rule_of(None)) is None


def test_units_of_all_figures_are_known(told):
    assert {entry["unit"] for entry in told.values()} <= set(UNITS)
