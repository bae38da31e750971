"""The table of the benchmarks: ratios by hand, nothing told of what was not measured, and no aim without its row."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.benchmark import bench_changes
from tests.benchmark.bench_growth import straight
from tests.benchmark.kept import AIMS, Spent, keep, read, table


def test_a_line_through_two_sizes():
    found = straight((1, 2), (Spent(1, 1, 10), Spent(3, 2, 15)), 4)
    assert found == Spent(7, 4, 25)


@pytest.mark.parametrize(("cpu", "word"), [(11.0, "met"), (11.1, "NOT met")])
def test_a_ratio_is_held_against_its_aim(tmp_path, cpu, word):
    path = tmp_path / "build" / "bench.json"
    keep({"bare engine": Spent(10, 10)}, path)
    keep({"build, 1 job": Spent(cpu, 12)}, path)
    (line,) = table(read(path))
    assert re.search(rf"{cpu / 10:.2f} +at most +1.10 +{word} ", line)


def test_every_aim_is_of_something_that_a_benchmark_times():
    sources = "".join(path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("bench_*.py"))
    sized = {aim.row for aim in AIMS if re.fullmatch(r"check, [0-9]+ units", aim.row)}
    timed = set(bench_changes.CHANGES) | set(bench_changes.FLOOR) | sized
    rows = {row for aim in AIMS for row in (aim.row, aim.to) if row}
    assert [row for row in sorted(rows - timed) if f'"{row}"' not in sources] == []
    assert timed - rows == {"one setpoint of all areas"}, "every card prints something of it, so it has no aim"


def test_without_a_benchmark_there_is_no_table(tmp_path):
    assert table(read(tmp_path / "bench.json")) == []
