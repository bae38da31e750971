"""Edits of a site, each built in part and, at the end or after each, held against the same site built from nothing.

``python -m tests.benchmark.edits --content content --edits 20`` is the long form of ``tests/site/test_incremental.py``:
with the PDF engine itself. It prints the CPU seconds of each build and ends with status 1 at the first difference.
"""

from __future__ import annotations

import argparse
import resource
import shutil
import sys
import tempfile
from datetime import date
from pathlib import Path

from builder import building
from builder.base.errors import ContentError
from builder.base.store import FileStore
from builder.render.jobs import Workshop
from tests.shared import digests
from tests.site.edits import Edits

DAY = date(2026, 11, 25)


def spent() -> float:
    """CPU seconds of this process and of those that have ended."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def build(content: Path, out: Path, store: FileStore | None, jobs: int) -> tuple[float, dict[str, tuple[int, int]]]:
    """Seconds of one build, and how much of what it made anew."""
    start = spent()
    with Workshop(jobs, store) as shop:
        made = building.build(content, out, DAY, shop=shop).made
    return spent() - start, dict(made)


def main() -> int:
    """Edit, build and compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--content", type=Path, default=Path("content"))
    parser.add_argument("--edits", type=int, default=20)
    parser.add_argument("--compare-each", type=int, default=5, help="edits between two builds from nothing (default 5)")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        content, out, cold = (Path(folder, name) for name in ("content", "site", "cold"))
        shutil.copytree(asked.content, content)
        edits, store = Edits(content, asked.seed), FileStore(Path(folder, "kept"))
        seconds, _ = build(content, out, store, asked.jobs)
        print(f"from nothing: {seconds:.1f} s of CPU")
        for number in range(1, asked.edits + 1):
            said = edits.one()
            while True:
                try:
                    part, made = build(content, out, store, asked.jobs)
                    break
                except ContentError:
                    said += ", refused and taken back: " + edits.undo()
            new = ", ".join(f"{anew} of {count} {kind}" for kind, (anew, count) in made.items() if anew) or "nothing"
            print(f"{number:3} {said}: {part:.1f} s, {part / seconds:.1%}; made anew: {new}", flush=True)
            if number % asked.compare_each == 0 or number == asked.edits:
                build(content, cold, None, asked.jobs)
                here, there = digests(out), digests(cold)
                different = sorted(path for path in here.keys() | there.keys() if here.get(path) != there.get(path))
                if different:
                    print(f"differs from a build from nothing: {', '.join(different)}")
                    return 1
                print(f"    equal to a build from nothing: {len(here)} files")
    return 0


if __name__ == "__main__":
    sys.exit(main())
