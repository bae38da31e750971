"""Errors carry what was found to whoever prints it, across processes too: cards are made in workers."""

from __future__ import annotations

import pickle

import pytest

from builder.base import errors
from builder.base.errors import (
    ArchiveError,
    ContentError,
    FitError,
    HandbookError,
    OutOfRangeError,
    Problem,
    PublishError,
    RenderError,
    UnknownKeyError,
    UsageError,
)
from builder.base.nearest import nearest
from builder.base.quantity import QuantityError
from builder.base.where import Given, Where
from tests.each import each

HERE = Where("areas.yaml", 12)
EXAMPLES = [
    HandbookError("base"),
    ContentError([Problem(HERE, "found", "allowed", ("near",)), Problem(Where("a.yaml", 1), "first")]),
    UsageError("called wrongly"),
    OutOfRangeError("outside"),
    UnknownKeyError("gas.methan.lel", ("gas.methane.lel",)),
    RenderError("not faithful"),
    FitError(["card a: clipped", "card b: too small"]),
    PublishError("nothing was changed"),
    ArchiveError("no ledger in it"),
    QuantityError("unknown unit 'pmm'", "one of ppm", ("ppm",)),
]


@pytest.mark.parametrize("error", EXAMPLES, ids=lambda error: type(error).__name__)
def test_an_error_survives_pickling(error):
    other = pickle.loads(pickle.dumps(error))  # noqa: S301 - our own bytes
    assert type(other) is type(error)
    assert str(other) == str(error)
    assert vars(other) == vars(error)


def test_every_error_of_the_module_has_an_example():
    named = {cls for cls in vars(errors).values() if isinstance(cls, type) and issubclass(cls, Exception)}
    assert named == {type(error) for error in EXAMPLES} - {QuantityError}


def test_all_but_one_base_are_told_apart_from_faults_of_the_builder():
    assert all(isinstance(error, HandbookError) for error in EXAMPLES if not isinstance(error, QuantityError))


@pytest.mark.parametrize(
    ("problem", "line"),
    [
        (Problem(HERE, "nothing"), "areas.yaml:12: nothing"),
        (Problem(HERE, "'8'", "a unit"), "areas.yaml:12: '8'; allowed: a unit"),
        (Problem(HERE, "'8'", "a unit", ("h", "s")), "areas.yaml:12: '8'; allowed: a unit; nearest: h, s"),
        (Problem(HERE, "'8'", "", ("h",)), "areas.yaml:12: '8'; nearest: h"),
    ],
)
def test_a_problem_is_one_line(problem, line):
    assert str(problem) == line


def test_problems_come_in_file_order_each_once():
    late, early, other = Problem(Where("b", 10), "x"), Problem(Where("b", 9), "y"), Problem(Where("a", 11), "z")
    error = ContentError([late, early, other, late])
    assert error.problems == (other, early, late)
    assert str(error) == "a:11: z\nb:9: y\nb:10: x"


def test_an_unknown_key_names_the_nearest():
    assert str(UnknownKeyError("a.b", ("a.c", "a.d"))) == "no figure has the key 'a.b'; nearest: a.c, a.d"
    assert str(UnknownKeyError("a.b")) == "no figure has the key 'a.b'"


def test_a_value_that_is_read_further_keeps_its_place_and_spelling():
    assert Given("5 ppm", HERE, "5 ppm").becoming(5) == Given(5, HERE, "5 ppm")


@each(
    ("word", "known", "close"),
    [
        ("methan", ["propane", "methane", "ethane"], ("methane", "ethane")),
        ("PPM", ["ppm", "mm"], ("ppm",)),
        ("xyz", ["methane"], ()),
        ("methane", [], ()),
        ("aaab", ["aaaa", "aaac", "aaad", "aaae"], ("aaae", "aaad", "aaac")),
    ],
)
def test_nearest_names_look_alike(word, known, close):
    assert nearest(word, known) == close


def test_nearest_gives_no_more_than_asked():
    assert nearest("aaab", ["aaaa", "aaac", "aaad", "aaae"], count=1) == ("aaae",)
