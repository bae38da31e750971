"""What a safety lead waits for: CPU and wall seconds of commands, alone and as a part of a cold build; kept as JSON.

Ratios are what to look at: machines differ, and so does one machine from minute to minute. ``make bench`` runs it.
"""

from __future__ import annotations

import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.benchmark.kept import Spent, keep

ROOT = Path(__file__).parents[2]
ONE_AREA = re.compile(r"(areas: \[[\w-]+\]\n    channel: (?:(?!  - ).*\n)*?    low: \{set: )(\d+)(?= )")
EVERY_AREA = re.compile(r"(channel: oxygen\n(?:.*\n)*?    low: \{set: )19\.\d")
BUMP = re.compile(r"^(?P<unit>[\w-]+),(?P<day>[\d-]+)T[\d:]+(?P<rest>[+-][\d:]+,bump-test,.*)$", re.MULTILINE)


def one_setpoint(content: Path) -> None:
    """The low alarm of one gas in one area, one lower, so that it is printed otherwise wherever it is printed."""
    _edit(content / "setpoints.yaml", ONE_AREA, lambda found: f"{found[1]}{int(found[2]) - 1}")


def every_setpoint(content: Path) -> None:
    """The low alarm of oxygen, which is one for all areas, a tenth higher."""
    _edit(content / "setpoints.yaml", EVERY_AREA, r"\g<1>19.8")


def one_word(content: Path) -> None:
    """One word of the first procedure, below its head."""
    _edit(min((content / "procedures").glob("*.md")), re.compile(r"(\n---\n(?:.*\n)*?.* )the (?=[a-z])"), r"\1that ")


def one_record(content: Path) -> None:
    """The last bump test of the newest file of records that has any, once more, an hour before midnight."""
    for path in sorted((content / "records").glob("*.csv"), reverse=True):
        text = path.read_text(encoding="utf-8")
        found = list(BUMP.finditer(text))
        if found:
            path.write_text(text + found[-1].expand(r"\g<unit>,\g<day>T23:00\g<rest>") + "\n", encoding="utf-8")
            return
    raise SystemExit(f"{content / 'records'}: no bump test to repeat")


def _edit(path: Path, pattern: re.Pattern[str], new: str | Callable[[re.Match[str]], str]) -> None:
    text, count = pattern.subn(new, path.read_text(encoding="utf-8"), count=1)
    if not count:
        raise SystemExit(f"{path}: nothing to edit")
    path.write_text(text, encoding="utf-8")


CHANGES: dict[str, Callable[[Path], None]] = {
    "nothing changed": lambda _content: None,
    "one setpoint of one area": one_setpoint,
    "one setpoint of all areas": every_setpoint,
    "one word of a procedure": one_word,
    "one record": one_record,
}
FLOOR = {
    "--help": ["--help"],
    "gas": ["gas", "toluene"],
    "convert": [
        "convert",
        "10",
        "ppm",
        "mg/m3",
        "--gas",
        "hydrogen-sulfide",
        "--temperature",
        "25",
        "--pressure",
        "101.325",
    ],
    "trace": ["trace", "gas.methane.lel"],
    "check": ["check"],
}


class Clock:
    """Times commands of a builder that is compiled, as it is wherever it was installed."""

    def __init__(self, cache: Path) -> None:
        self._surroundings = {**os.environ, "HANDBOOK_CACHE": str(cache), "PYTHONPATH": str(ROOT)}
        self._surroundings |= {"PYTHONPYCACHEPREFIX": str(cache.with_name("bytecode")), "PYTHONDONTWRITEBYTECODE": ""}
        self.rows: dict[str, tuple[float, float]] = {}

    def compile(self) -> None:
        """Compile builder and libraries, by building what is small."""
        small = ["--content", str(ROOT / "tests" / "sites" / "minimal"), "--no-cache", "--quiet"]
        with tempfile.TemporaryDirectory() as folder:
            self.run("compiling", "build", *small, "--out", f"{folder}/site", "--as-of", "2026-11-25")
        self.rows.clear()

    def run(self, name: str, *arguments: str) -> None:
        """Run one and note its CPU and wall seconds."""
        before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        done = subprocess.run(
            [sys.executable, "-m", "builder", *arguments],
            env=self._surroundings, cwd=ROOT, capture_output=True, text=True, check=False,
        )  # fmt: skip
        wall, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
        if done.returncode:
            raise SystemExit(f"{name}: {done.stderr}")
        self.rows[name] = (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, wall)
        made = next((line for line in done.stdout.splitlines() if line.startswith(("made anew", "nothing"))), "")
        cpu = self.rows[name][0]
        base = next(iter(self.rows.values()))[0]
        print(f"{name:28} {cpu:7.2f} s CPU  {wall:7.2f} s wall  {cpu / base:6.1%}  {made[:100]}", flush=True)


def main() -> None:
    """Print the table and keep it."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        content, site = place / "content", place / "site"
        shutil.copytree(ROOT / "content", content)
        clock = Clock(place / "cache")
        build = ["build", "--content", str(content), "--out", str(site), "--as-of", "2026-11-25"]
        clock.compile()
        clock.run("cold, two jobs", *build)
        for name, change in CHANGES.items():
            change(content)
            clock.run(name, *build)
        clock.run("cold, one job", *build[:3], "--out", str(place / "one"), *build[5:], "--no-cache", "--jobs", "1")
        small = ["--content", str(ROOT / "tests" / "sites" / "minimal"), "--out", str(place / "small")]
        clock.run("smallest site, cold", "build", *small, "--as-of", "2026-11-25", "--no-cache", "--jobs", "1")
        for name, arguments in FLOOR.items():
            clock.run(name, *arguments)
    keep({name: Spent(cpu, wall) for name, (cpu, wall) in clock.rows.items()})


if __name__ == "__main__":
    main()
