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
case "$1" in
lint) exit "$LINT" ;;
test) echo "1 passed"; exit "$TEST" ;;
libraries) exit "$PACKAGES" ;;
esac
"""
PACKAGES = "libraries poppler browser checkers openssh tests/web/node_modules/.installed"


@pytest.mark.parametrize(
    ("packages", "lint", "test", "ends"), [(0, 0, 0, 0), (0, 0, 1, 1), (0, 2, 0, 2), (0, 2, 1, 1), (3, 0, 0, 3)]
)
def test_runs_lint_beside_test_and_fails_when_either_does(tmp_path, packages, lint, test, ends):
    copy = tmp_path / "project"
    shutil.copytree(ROOT / ".ci", copy / ".ci")
    (tmp_path / "make").write_text(FAKE_MAKE)
    (tmp_path / "make").chmod(0o755)
    path = f"{tmp_path}{os.pathsep}{os.environ['PATH']}"
    environment = {"PATH": path, "LINT": str(lint), "TEST": str(test), "PACKAGES": str(packages)}
    done = subprocess.run(
        [copy / ".ci" / "run"],
        cwd=tmp_path,
        env=environment,
        input="typed\n",
        capture_output=True,
        text=True,
        check=False,
    )
    said = done.stdout.splitlines()
    ran = [line.removeprefix("make ").removesuffix(" in project, CI=true") for line in said]
    assert ran[0] == ".venv/place", "what all others need is made once"
    tested = [] if packages else ["1 passed", "test"]
    assert sorted(ran[1:]) == sorted([".venv/dev", PACKAGES, "lint", *tested])
    assert not tested or ran.index("test") > max(ran.index(PACKAGES), ran.index(".venv/dev"))
    assert done.returncode == ends
    assert ("lint failed" in done.stderr) is (lint != 0)


def test_the_command_may_be_executed():
    assert os.access(ROOT / ".ci" / "run", os.X_OK)
