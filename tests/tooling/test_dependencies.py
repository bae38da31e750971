"""Each package the project leans on has its reason, and the lock files fit what the project asks for."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.each import each

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())
BUILD = PROJECT["build-system"]["requires"]
RUN_TIME = PROJECT["project"]["dependencies"]
TEST = PROJECT["dependency-groups"]["test"]
LINT = PROJECT["dependency-groups"]["lint"]
HAS_REASON = [*RUN_TIME, *(line for line in TEST if not line.startswith("pytest"))]
"""What runs the tests and linters is named by the group it stands in; everything else says what it is for."""


@each("requirement", HAS_REASON)
def test_a_comment_above_or_beside_says_why(requirement):
    lines = (ROOT / "pyproject.toml").read_text().splitlines()
    (number,) = [at for at, line in enumerate(lines) if line.strip().startswith(f'"{requirement}"')]
    beside = lines[number].partition('",')[2].strip()
    reason = beside or lines[number - 1].strip()
    assert re.fullmatch(r"# \w.{9,}", reason), f"{requirement}: {reason!r} is no reason"


def locked(name: str) -> dict[str, list[str]]:
    """Package -> its versions in a lock file; more than one where Pythons differ."""
    found: dict[str, list[str]] = {}
    for line in (ROOT / name).read_text().splitlines():
        if match := re.match(r"([a-z0-9.-]+)==(\S+)", line):
            found.setdefault(match[1], []).append(match[2])
    return found


@each(
    ("requirement", "file"),
    [
        *((line, "requirements.lock") for line in [*BUILD, *RUN_TIME]),
        *((line, "requirements-dev.lock") for line in [*RUN_TIME, *TEST, *LINT]),
    ],
)
def test_the_lock_file_has_a_version_that_fits(requirement, file):
    wanted = Requirement(requirement)
    versions = locked(file).get(canonicalize_name(wanted.name), [])
    assert versions, f"{file} lacks {wanted.name}: run `make lock`"
    assert all(version in wanted.specifier for version in versions), f"{file} is out of date: run `make lock`"


def test_both_lock_files_agree():
    run_time, everything = locked("requirements.lock"), locked("requirements-dev.lock")
    shared = run_time.keys() & everything.keys()
    assert len(shared) > len(RUN_TIME)
    assert {name: run_time[name] for name in shared} == {name: everything[name] for name in shared}


@pytest.mark.parametrize("file", ["requirements.lock", "requirements-dev.lock"])
def test_every_locked_package_has_hashes_and_no_address(file):
    text = (ROOT / file).read_text()
    entries = re.split(r"^(?=[a-z])", text, flags=re.MULTILINE)[1:]
    assert len(entries) >= len(RUN_TIME)
    assert [entry.split()[0] for entry in entries if "--hash=sha256:" not in entry] == []
    assert re.findall(r"^--\S+|\w+://\S+", text, flags=re.MULTILINE) == []
