"""Cases that share a test are all tried, and each that fails is told."""

from __future__ import annotations

import inspect

import pytest

from tests.each import each


def test_every_case_is_tried_and_those_that_fail_are_told_by_name():
    tried = []

    @each("number", [1, pytest.param(2, id="two"), 3])
    def of(number):
        tried.append(number)
        assert number == 1, "not one"

    with pytest.raises(ExceptionGroup, match="2 of 3 cases fail") as caught:
        of()
    assert tried == [1, 2, 3]
    assert [error.__notes__ for error in caught.value.exceptions] == [["case: two"], ["case: (3,)"]]


def test_of_several_arguments_the_others_stay_fixtures():
    seen = []

    @each(("a", "b"), [(1, 2), pytest.param(3, 4, id="x")])
    def of(tmp_path, a, b):
        seen.append((tmp_path, a, b))

    assert list(inspect.signature(of).parameters) == ["tmp_path"]
    of(tmp_path="folder")
    assert seen == [("folder", 1, 2), ("folder", 3, 4)]


def test_of_no_case_there_is_no_test():
    with pytest.raises(AssertionError, match="no case"):
        each("a", [])
