"""The one command of the build machine runs linters and tests, and its outcome is that of both."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FAKE_MAKE = """#!/bin/sh
echo "make $* in $(basename "$PWD"), CI=$CI"
read -r line && echo "was given input"
case "$1" in lint) exit "$LINT" ;; test) echo "1 passed"; exit "$TEST" ;; esac
"""


@pytest.mark.parametrize(("lint", "test", "ends"), [(0, 0, 0), (0, 1, 1), (2, 0, 2), (2, 1, 1)])
def test_runs_lint_beside_test_and_fails_when_either_does(tmp_path, lint, test, ends):
    copy = tmp_path / "project"
    shutil.copytree(ROOT / ".ci", copy / ".ci")
    (tmp_path / "make").write_text(FAKE_MAKE)
    (tmp_path / "make").chmod(0o755)
    path = f"{tmp_path}{os.pathsep}{os.environ['PATH']}"
    environment = {"PATH": path, "LINT": str(lint), "TEST": str(test)}
    done = subprocess.run(
        [copy / ".ci" / "run"],
        cwd=tmp_path,
        env=environment,
        input="typed\n",
        capture_output=True,
        text=True,
        check=False,
    )
    first, *others = done.stdout.splitlines()
    assert first == "make .venv/dev in project, CI=true", "what both need is made once"
    assert sorted(others) == ["1 passed", "make lint in project, CI=true", "make test in project, CI=true"]
    assert done.returncode == ends
    assert ("lint failed" in done.stderr) is (lint != 0)


def test_the_command_may_be_executed():
    assert os.access(ROOT / ".ci" / "run", os.X_OK)
