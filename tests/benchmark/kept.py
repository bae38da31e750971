"""What the benchmarks measured, kept as JSON in ``build/bench.json``, and the ratios that are aimed at as one table.

Each benchmark adds its rows; ``python -m tests.benchmark.kept`` prints the table of all that were run.
"""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

KEPT = Path(__file__).parents[2] / "build" / "bench.json"


@dataclass(frozen=True, slots=True)
class Spent:
    """What one thing took."""

    cpu: float
    """Seconds of processor time, of child processes too."""
    wall: float
    """Seconds on the clock."""
    megabytes: float = 0.0
    """Most memory of one process, 0 where it was not looked at."""


def spent(work: Callable[[], object]) -> Spent:
    """What one call takes; child processes count once they have ended."""
    before, start = os.times(), time.perf_counter()
    work()
    after = os.times()
    return Spent(sum(after[:4]) - sum(before[:4]), time.perf_counter() - start)


def keep(rows: Mapping[str, Spent], path: Path = KEPT) -> None:
    """Add rows to the file, each with how many programs wanted the processors at that time."""
    load = os.getloadavg()[0]
    told = {
        name: {"cpu": row.cpu, "wall": row.wall, "megabytes": row.megabytes, "load": load} for name, row in rows.items()
    }
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(read(path) | told, indent=1) + "\n", encoding="utf-8")


def read(path: Path = KEPT) -> dict[str, dict[str, float]]:
    """Name of a row -> what was measured; nothing before the first benchmark."""
    return dict(json.loads(path.read_text(encoding="utf-8"))) if path.exists() else {}


# ---- what is aimed at ------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Aim:
    """A ratio of two rows, or one row alone, and how much it may be."""

    what: str
    row: str
    field: str
    most: float
    to: str = ""
    """The row that it is a part of; empty for seconds or megabytes themselves."""


AIMS = (
    Aim("cold build on one worker, to the bare engine", "build, 1 job", "cpu", 1.10, "bare engine"),
    Aim("wall time of two workers, to one", "build, 2 jobs", "wall", 1 / 1.8, "build, 1 job"),
    Aim("smallest site, cold", "smallest site, cold", "cpu", 3.0),
    Aim("nothing changed", "nothing changed", "cpu", 0.5),
    Aim("one setpoint of an area, to the cold build", "one setpoint of one area", "cpu", 0.03, "cold, two jobs"),
    Aim("one word, to the cold build", "one word of a procedure", "cpu", 0.03, "cold, two jobs"),
    Aim("one record, to the cold build", "one record", "cpu", 0.03, "cold, two jobs"),
    Aim("--help", "--help", "cpu", 0.1),
    Aim("check of the demo", "check", "cpu", 2.0),
    Aim("trace", "trace", "cpu", 0.6),
    Aim("gas", "gas", "cpu", 0.6),
    Aim("convert", "convert", "cpu", 0.6),
    Aim("check of 2,000 units", "check, 2000 units", "cpu", 20.0),
    Aim("check of 10,000 units, megabytes", "check, 10000 units", "megabytes", 1500.0),
    Aim("time of the largest, to a straight line", "check, largest", "cpu", 1.1, "check, largest, by a straight line"),
    Aim("memory of it, to a straight line", "check, largest", "megabytes", 1.1, "check, largest, by a straight line"),
)


def table(rows: Mapping[str, Mapping[str, float]]) -> list[str]:
    """A line an aim that was measured: what, how much, how much it may be."""
    made = []
    for aim in AIMS:
        if aim.row not in rows or (aim.to and aim.to not in rows):
            continue
        found = rows[aim.row][aim.field] / (rows[aim.to][aim.field] if aim.to else 1)
        word = "met" if found <= aim.most else "NOT met"
        made.append(f"{aim.what:46} {found:9.2f}   at most {aim.most:8.2f}   {word:8} load {rows[aim.row]['load']:.1f}")
    return made


if __name__ == "__main__":
    print("\n".join(table(read())))
