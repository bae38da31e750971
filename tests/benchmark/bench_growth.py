"""How judging grows: ``check`` of invented sites of some sizes, each a process of its own, against a straight line.

``make bench`` runs it for 200 and 2,000 units and, with ``--sizes 200 2000 10000``, it holds the third against the line
through the first two.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from tests.benchmark.grown import CONTENT, DAY, Size, grow
from tests.benchmark.kept import Spent, keep


def checked(content: Path) -> Spent:
    """What a ``check`` takes of processor time and memory.

    :raises SystemExit: when the content is refused.
    """
    asked = [sys.executable, "-m", "builder", "check", "--quiet", "--content", str(content), "--as-of", DAY.isoformat()]
    start = time.perf_counter()
    with Path(os.devnull).open("w") as nothing:
        silent = [(os.POSIX_SPAWN_DUP2, nothing.fileno(), 1)]
        _, status, used = os.wait4(os.posix_spawn(sys.executable, asked, os.environ, file_actions=silent), 0)
    if status:
        raise SystemExit(f"{content}: refused")
    return Spent(used.ru_utime + used.ru_stime, time.perf_counter() - start, used.ru_maxrss / 1024)


def straight(sizes: Sequence[int], found: Sequence[Spent], at: int) -> Spent:
    """What the line through the first two sizes tells of another."""
    times = (at - sizes[0]) / (sizes[1] - sizes[0])
    first, second = found[:2]
    return Spent(
        cpu=first.cpu + times * (second.cpu - first.cpu),
        wall=first.wall + times * (second.wall - first.wall),
        megabytes=first.megabytes + times * (second.megabytes - first.megabytes),
    )


def main() -> None:
    """Print and keep what each size takes."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", type=int, nargs="+", default=[200, 2000])
    sizes = parser.parse_args().sizes
    rows: dict[str, Spent] = {}
    with tempfile.TemporaryDirectory() as folder:
        for units in sizes:
            content = Path(folder) / str(units)
            records = grow(CONTENT, content, Size(units=units))
            one = rows[f"check, {units} units"] = checked(content)
            print(f"{units:6} units {records:7} records {one.cpu:7.1f} s CPU {one.megabytes:6.0f} MB", flush=True)
    if len(sizes) > 2:
        found = list(rows.values())
        rows["check, largest"], rows["check, largest, by a straight line"] = (
            found[-1],
            straight(sizes, found, sizes[-1]),
        )
    keep(rows)


if __name__ == "__main__":
    main()
