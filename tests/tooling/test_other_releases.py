"""The builder on another release of the same Python, where this machine has one: libraries change between them."""

from __future__ import annotations

import filecmp
import os
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TELLS_OF_PYTHON = {"about.json", "SHA256SUMS"}


def others():
    """The system's Pythons that can load what is installed here and are of another release, as with Debian's own."""
    name = f"python3.{sys.version_info.minor}"
    for place in (Path("/usr/bin", name), Path("/usr/local/bin", name)):
        if place.is_file():
            told = subprocess.run(
                [place, "-c", "import platform; print(platform.python_version())"],
                capture_output=True, text=True, check=True,
            ).stdout.strip()  # fmt: skip
            if told != sys.version.split()[0]:
                yield pytest.param(place, id=told)


FOUND = list(others()) or [pytest.param(None, marks=pytest.mark.skip(reason="no other release of this Python here"))]


@pytest.mark.papers
@pytest.mark.parametrize("python", FOUND)
def test_another_release_of_python_builds_the_same_and_reads_what_it_kept(python, minimal, tmp_path):
    def build():
        return subprocess.run(
            [python, "-m", "builder", "build", "--content", minimal.content, "--as-of", "2026-11-25",
             "--out", tmp_path / "site", "--cache", tmp_path / "kept"],
            env={**os.environ, "PYTHONPATH": f"{ROOT}:{sysconfig.get_path('purelib')}"},
            capture_output=True, text=True, check=True,
        ).stdout  # fmt: skip

    build()
    compared = filecmp.dircmp(minimal.out, tmp_path / "site")
    assert_same(compared)
    (tmp_path / "site" / "about.json").write_text("{}", encoding="utf-8")  # so that the site is made again
    assert "made anew: 0 of" in build()


def assert_same(compared):
    assert compared.left_only == compared.right_only == compared.funny_files == []
    assert set(compared.diff_files) <= TELLS_OF_PYTHON
    for below in compared.subdirs.values():
        assert_same(below)
