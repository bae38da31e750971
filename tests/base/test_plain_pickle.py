"""What is kept comes back as it was, and bytes that somebody else wrote run nothing."""

import os
import pickle
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from builder.base.digest import quick_digest
from builder.base.plain_pickle import packed, unpacked
from builder.base.rounding import Direction, Rounding
from builder.base.where import Where
from builder.figures.figure import Figure, Input


def test_a_figure_comes_back_with_its_whole_derivation():
    made = Figure(
        key="a.b", label="limit", exact=Fraction(7, 3), unit="ppm", text="2.3", formula="x", source="by hand",
        rounding=Rounding(direction=Direction.DOWN, why="safety", step=Fraction(1, 10)),
        inputs=(Input(label="set to", text="7", where=Where("setpoints.yaml", 3)),),
    )  # fmt: skip
    value = ({"a.b": made}, date(2026, 11, 25), ("text", b"bytes", 1, 2.5, True, None))
    assert unpacked(packed(value)) == value


def test_enumerations_come_back_whatever_python_does_with_them(monkeypatch):
    # as enum.py of CPython 3.11.0 to 3.11.3 has it, which is what Debian 12 ships
    monkeypatch.setattr(Direction, "__reduce_ex__", lambda member, _: (getattr, (type(member), member.name)))
    assert unpacked(packed((Direction.DOWN, Direction.UP))) == (Direction.DOWN, Direction.UP)
    assert quick_digest(Direction.DOWN) != quick_digest(Direction.UP)


class Evil:
    def __init__(self, *call):
        self.call = call

    def __reduce__(self):
        return self.call


@pytest.mark.parametrize(
    "value",
    [lambda place: Evil(os.mkdir, (str(place),)), lambda place: Evil(eval, (f"open({str(place)!r}, 'w')",)),
     lambda place: Evil(Path.touch, (place,)), lambda _: Path("builder"), lambda _: pytest.raises],
)  # fmt: skip
def test_whatever_else_stands_there_is_nothing(tmp_path, value):
    place = tmp_path / "harmed"
    assert unpacked(pickle.dumps(value(place))) is None
    assert not place.exists()


@pytest.mark.parametrize("data", [b"", b"no pickle", packed("text")[:-3], b"cbuilder.base.store\nFileStore\n."])
def test_spoiled_bytes_are_nothing(data):
    assert unpacked(data) is None
    assert unpacked(None) is None
