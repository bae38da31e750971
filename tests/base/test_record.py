"""Records are what ``dataclasses`` makes of the same class, the outside source of all that is expected here."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle
import re
import subprocess
import sys
from dataclasses import field
from pathlib import Path

import pytest

import builder
from builder.base import record
from tests.each import each

WAYS = {"library": dataclasses.dataclass, "ours": record.dataclass}


def classes(dataclass):
    """The same few classes, made in one way."""

    @dataclass(frozen=True, slots=True)
    class Place:
        file: str
        line: int = 1

    @dataclass(frozen=True, slots=True, kw_only=True)
    class Thing:
        name: str
        places: tuple[Place, ...] = ()
        notes: list[str] = field(default_factory=list)
        hidden: int = field(default=0, repr=False, compare=False)

    @dataclass(frozen=True, slots=True)
    class Worked:
        form: str
        size: int = field(init=False, repr=False, compare=False)

        def __post_init__(self):
            object.__setattr__(self, "size", len(self.form))

    @dataclass(frozen=True, slots=True)
    class Empty:
        pass

    @dataclass(frozen=True, slots=True)
    class Further(Place):
        column: int = 0

        def __repr__(self):
            return "further"

    return {kind.__name__: kind for kind in (Place, Thing, Worked, Empty, Further)}


LIBRARY, OURS = (classes(way) for way in WAYS.values())
CALLS = [
    ("Place", ("a",), {}),
    ("Place", ("a", 2), {}),
    ("Place", (), {"line": 3, "file": "b"}),
    ("Place", (), {}),
    ("Place", ("a", 2, 3), {}),
    ("Place", ("a",), {"other": 1}),
    ("Thing", (), {"name": "x"}),
    ("Thing", (), {"name": "x", "places": (1,), "notes": ["n"], "hidden": 5}),
    ("Thing", ("x",), {}),
    ("Thing", (), {"name": "x", "notes": None}),
    ("Worked", ("abc",), {}),
    ("Worked", ("abc", 3), {}),
    ("Empty", (), {}),
    ("Further", ("a", 1, 2), {}),
]


def outcome(kinds, name, places, names):
    try:
        made = kinds[name](*places, **names)
    except TypeError as error:
        return str(error).replace("classes.<locals>.", "")
    return repr(made).replace("classes.<locals>.", ""), dataclasses.asdict(made)


@each(("name", "places", "names"), CALLS)
def test_takes_and_shows_and_refuses_what_the_library_does(name, places, names):
    assert outcome(OURS, name, places, names) == outcome(LIBRARY, name, places, names)


@pytest.mark.parametrize("kinds", [LIBRARY, OURS], ids=WAYS)
def test_equal_records_are_one_in_a_set_and_others_are_not(kinds):
    place, further = kinds["Place"], kinds["Further"]
    assert place("a", 1) == place("a")
    assert {place("a", 1), place("a"), place("b")} == {place("a"), place("b")}
    assert place("a") != ("a", 1)
    assert place("a", 1) != further("a", 1)
    assert kinds["Thing"](name="x", hidden=1) == kinds["Thing"](name="x", hidden=2)
    assert hash(kinds["Worked"]("abc")) == hash(kinds["Worked"]("abc"))
    assert kinds["Empty"]() == kinds["Empty"]()
    with pytest.raises(TypeError, match=r"^unhashable type: 'list'$"):
        hash(kinds["Thing"](name="x"))


@pytest.mark.parametrize("kinds", [LIBRARY, OURS], ids=WAYS)
def test_nothing_of_a_record_is_changed_or_removed(kinds):
    place = kinds["Place"]("a")
    with pytest.raises(dataclasses.FrozenInstanceError, match=r"^cannot assign to field 'line'$"):
        place.line = 2
    with pytest.raises((AttributeError, TypeError)):
        place.other = 2
    with pytest.raises(dataclasses.FrozenInstanceError, match=r"^cannot delete field 'file'$"):
        del place.file
    assert not hasattr(place, "__dict__")


@pytest.mark.parametrize("kinds", [LIBRARY, OURS], ids=WAYS)
def test_a_record_is_replaced_matched_and_copied(kinds):
    place = kinds["Place"]
    assert dataclasses.replace(place("a"), line=4) == place("a", 4)
    assert copy.copy(place("a", 4)) == copy.deepcopy(place("a", 4)) == place("a", 4)
    assert place.__match_args__ == ("file", "line")
    first, second = kinds["Thing"](name="x"), kinds["Thing"](name="y")
    assert first.notes is not second.notes


@pytest.mark.parametrize("way", WAYS.values(), ids=WAYS)
def test_records_are_sorted_that_are_to_be(way):
    @way(frozen=True, slots=True, order=True)
    class Line:
        file: str
        number: int
        column: int = field(default=0, compare=False)

    lines = [Line("b", 1), Line("a", 10), Line("a", 9, 5), Line("a", 9, 1)]
    assert [(one.file, one.number, one.column) for one in sorted(lines)] == [
        ("a", 9, 5), ("a", 9, 1), ("a", 10, 0), ("b", 1, 0)
    ]  # fmt: skip
    assert max(lines) == lines[0] > lines[1] >= lines[2] <= lines[3] < lines[0]
    with pytest.raises(TypeError, match=r"^'<' not supported between instances of 'Line' and 'tuple'$"):
        assert lines[0] < ("b", 1)


@pytest.mark.parametrize("kinds", [LIBRARY, OURS], ids=WAYS)
def test_records_are_not_sorted_that_are_not_to_be(kinds):
    with pytest.raises(TypeError, match=r"^'<' not supported between"):
        sorted([kinds["Place"]("a"), kinds["Place"]("b")])


@record.dataclass(frozen=True, slots=True)
class Sent:
    """A record that a process hands to another."""

    name: str
    parts: tuple[int, ...] = ()


def test_a_record_is_sent_to_another_process():
    assert pickle.loads(pickle.dumps(Sent("a", (1, 2)))) == Sent("a", (1, 2))  # noqa: S301 - our own bytes


def test_a_record_that_another_process_never_made_is_read_there():
    sent = pickle.dumps(Sent("a", (1, 2)))
    code = (
        "import pickle, sys; sys.path.insert(0, sys.argv[1]); made = pickle.loads(bytes.fromhex(sys.argv[2]));"
        "print(made, made == type(made)('a', (1, 2)))"
    )
    root = str(Path(__file__).parents[2])
    done = subprocess.run([sys.executable, "-c", code, root, sent.hex()], capture_output=True, text=True, check=True)
    assert done.stdout == "Sent(name='a', parts=(1, 2)) True\n"


@pytest.mark.parametrize("options", [{}, {"slots": True}, {"frozen": True}, {"frozen": True, "order": True}])
def test_what_is_no_frozen_record_with_slots_is_left_to_the_library(options):
    @record.dataclass(**options)
    class Other:
        size: int

    expected = dataclasses.dataclass(**options)(type("Other", (), {"__annotations__": {"size": "int"}}))
    assert list(inspect.signature(Other).parameters) == ["size"]
    assert Other.__dataclass_params__.frozen is expected.__dataclass_params__.frozen
    assert Other.__dataclass_params__.order is expected.__dataclass_params__.order


def test_no_record_of_the_builder_is_made_ready_the_slow_way():
    """It would cost what this module saves, a little at a time."""
    slow = re.compile(r"from dataclasses import .*\bdataclass\b|dataclasses\.dataclass\b")
    files = {path.name: path.read_text() for path in Path(builder.__file__).parent.rglob("*.py")}
    assert [name for name, text in files.items() if slow.search(text)] == ["record.py"]
