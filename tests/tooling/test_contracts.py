"""The builder's parts lean on each other in one direction, and the contracts that say so cover all of them."""

from __future__ import annotations

import configparser
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.each import each

ROOT = Path(__file__).parents[2]
ALLOWED = {
    "yaml": {"load"},
    "openpyxl": {"load"},
    "jinja2": {"load", "render"},
    "weasyprint": {"render"},
    "segno": {"render"},
    "pikepdf": {"render", "verify"},
    "click": {"cli"},
    "rich": {"cli"},
    "icalendar": {"publish"},
    "babel": {"pages"},
    "distributed": {"cli"},
}
"""Package -> the only parts of the builder that may import it."""


def lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    code = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    command = [sys.executable, "-c", code, "--no-cache"]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def contracts() -> configparser.ConfigParser:
    parser = configparser.ConfigParser()
    parser.read_string((ROOT / ".importlinter").read_text())
    return parser


@pytest.fixture
def toy(tmp_path: Path, contracts: configparser.ConfigParser) -> Path:
    """A project with the same contracts, whose parts are all empty."""
    shutil.copy(ROOT / ".importlinter", tmp_path)
    (tmp_path / "builder").mkdir()
    layers = contracts["importlinter:contract:layers"]["layers"].split()
    for name in ("__init__", *layers):
        (tmp_path / "builder" / f"{name}.py").touch()
    return tmp_path


def test_the_project_keeps_its_contracts():
    done = lint_imports(ROOT)
    assert done.returncode == 0, done.stdout + done.stderr


def test_an_empty_project_keeps_them(toy):
    done = lint_imports(toy)
    assert done.returncode == 0, done.stdout + done.stderr


BROKEN = {
    "base": ("from builder import publish", ["builder.base is not allowed to import builder.publish"]),
    "program": ("from builder import figures", ["builder.program is not allowed to import builder.figures"]),
    "pages": (
        "def late():\n    from builder import render",
        ["builder.pages is not allowed to import builder.render"],
    ),
    "extra": ("", ["- builder.extra"]),
    "reference": (
        "".join(f"import {package}\n" for package in ALLOWED),
        [f"builder.reference is not allowed to import {package}" for package in ALLOWED],
    ),
}
"""Part -> what it must not say, and what is told of it."""


def test_each_breach_is_found(toy):
    for part, (text, _) in BROKEN.items():
        (toy / "builder" / f"{part}.py").write_text(text)
    done = lint_imports(toy)
    assert done.returncode == 1
    assert [message for _, told in BROKEN.values() for message in told if message not in done.stdout] == []


@pytest.mark.parametrize("part", ["base", "extra"])
def test_one_breach_is_enough(toy, part):
    (toy / "builder" / f"{part}.py").write_text(BROKEN[part][0])
    assert lint_imports(toy).returncode == 1


@each(("package", "parts"), ALLOWED.items())
def test_every_other_part_is_forbidden_the_package(contracts, package, parts):
    layers = contracts["importlinter:contract:layers"]["layers"].split()
    (section,) = [
        s for s in map(contracts.__getitem__, contracts.sections()) if package in s.get("forbidden_modules", "").split()
    ]
    forbidden = {name.removeprefix("builder.") for name in section["source_modules"].split()}
    assert forbidden == set(layers) - parts
