"""After many edits of the demo, each built in part with the PDF engine, the site is that of a build from nothing.

A promise of the project's own. ``tests/site/test_incremental.py`` tries far more edits, of the smallest site and
without layout.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.trust.long import LONG

ROOT = Path(__file__).parents[2]
EDITS = 20


@pytest.mark.skipif(not LONG, reason="lays the demo out several times; `make trust` does it")
def test_the_demo_after_edits_is_the_demo_from_nothing():
    command = [sys.executable, "-m", "tests.benchmark.edits", "--edits", str(EDITS), "--compare-each", str(EDITS)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    lines = done.stdout.splitlines()
    assert done.returncode == 0, done.stdout + done.stderr
    assert sum("; made anew: " in line for line in lines) == EDITS
    assert lines[-1].strip().startswith("equal to a build from nothing")
