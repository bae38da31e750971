"""One hash of plain data: what differs anywhere has another hash, in every process."""

import subprocess
import sys
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.base import digest as digesting
from builder.base.digest import digest, quick_digest
from tests.each import each


@dataclass(frozen=True)
class Shown:
    text: str
    unseen: int = field(default=0, repr=False)


@dataclass(frozen=True)
class Other:
    text: str
    unseen: int = 0


class Kind(Enum):
    ONE = "1"


plain = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text() | st.binary() | st.fractions(),
    lambda inner: st.tuples(inner, inner) | st.dictionaries(st.text(), inner) | st.lists(inner),
    max_leaves=8,
)


def told(value):
    """The value with the type of each part, since 1, 1.0 and True are equal in Python."""
    if isinstance(value, (tuple, list)):
        return (type(value).__name__, [told(part) for part in value])
    if isinstance(value, dict):
        return ("dict", [(key, told(part)) for key, part in value.items()])
    return (type(value).__name__, repr(value))


@given(plain, plain)
def test_two_values_have_one_hash_exactly_when_they_are_the_same(one, other):
    same = told(one) == told(other)
    assert (digest(one) == digest(other)) == (quick_digest(one) == quick_digest(other)) == same


@each(
    ("one", "other"),
    [
        (("ab", "c"), ("a", "bc")),
        ((("a",), "b"), ("a", ("b",))),
        (1, True),
        (1, 1.0),
        (Fraction(1), 1),
        ("2026-11-25", date(2026, 11, 25)),
        (Kind.ONE, "1"),
        (Shown("a", 1), Shown("a", 2)),
        (Shown("a"), Other("a")),
        ({"a": 1, "b": 2}, {"b": 2, "a": 1}),
    ],
)
def test_what_looks_alike_is_told_apart(one, other):
    assert digest(one) != digest(other)
    assert quick_digest(one) != quick_digest(other)


def test_what_has_no_order_has_no_hash():
    with pytest.raises(TypeError, match="set is no plain data"):
        digest({1, 2})
    with pytest.raises(TypeError, match="object is no plain data"):
        quick_digest((object(),))


def test_words_that_happen_to_be_one_object_do_not_matter():
    one, other = "word", "".join("word")
    assert quick_digest((one, one), Shown(one)) == quick_digest((one, other), Shown(other))


def test_kinds_that_were_met_in_another_order_do_not_matter(monkeypatch):
    values = (Shown("a"), Kind.ONE, Other("b"))
    before = [quick_digest(value) for value in values]
    monkeypatch.setattr(digesting, "_REDUCED", digesting._Reduced())
    assert [quick_digest(value) for value in reversed(values)] == before[::-1]
    assert [quick_digest(value) for value in values] == before


def test_kinds_whose_numbers_are_the_same_are_told_apart(monkeypatch):
    monkeypatch.setattr(digesting, "_REDUCED", digesting._Reduced())
    monkeypatch.setattr(digesting, "crc32", lambda _name: 7)
    assert quick_digest(Shown("a")) != quick_digest(Other("a"))


def test_the_hash_is_the_same_in_another_process():
    head = "from builder.base.digest import digest, quick_digest; "
    code = f"{head}print(*(make(('ä', 1, {{'b': 2.5}})) for make in (digest, quick_digest)))"
    said = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env={"PYTHONHASHSEED": "7"}
    )
    assert said.stdout.split() == [make(("ä", 1, {"b": 2.5})) for make in (digest, quick_digest)]
