"""What the builder is made with is pinned, licensed and listed; the wheel is the same wherever it is made.

Fields of the bill of materials are those that CycloneDX 1.6 (ECMA-424) requires; a package URL is of the form of the
purl specification, type pypi; licences are named by SPDX identifiers.
"""

from __future__ import annotations

import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys

import pytest

from tests.conftest import ROOT

LOCKS = ("requirements.lock", "requirements-dev.lock", "requirements-pip.lock", "requirements-tools.lock")
ALLOWED = {"MIT", "MIT-0", "MIT-CMU", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "PSF-2.0", "OFL-1.1", "MPL-2.0",
           "MPL-1.1", "LGPL-2.1-or-later", "GPL-2.0-or-later"}  # fmt: skip
"""One of a choice (OR) is enough; the last is never the only one."""


@pytest.fixture(scope="module")
def supply():
    spec = importlib.util.spec_from_file_location("supply", ROOT / ".ci" / "supply.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules["supply"] = module
    spec.loader.exec_module(module)
    yield module
    del sys.modules["supply"]


@pytest.mark.parametrize("name", LOCKS)
def test_every_package_is_pinned_by_hash(name):
    entries = re.split(r"\n(?=\S)", (ROOT / name).read_text(encoding="utf-8"))
    for entry in (one for one in entries if one.strip() and not one.startswith("#")):
        assert re.match(r"[a-z0-9.-]+==\S+", entry), entry
        assert "--hash=sha256:" in entry, entry


def test_pip_and_the_build_tools_are_pinned(supply):
    assert [package.name for package in supply.locked("requirements-pip.lock")] == ["pip"]
    assert {"hatchling", "editables"} <= {package.name for package in supply.locked()}
    assert {"uv", "pip-audit"} <= {package.name for package in supply.locked("requirements-tools.lock")}
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    assert all(name in makefile for name in LOCKS)
    for line in makefile.split("\n"):
        if "$(PIP)" in line and not line.startswith("PIP"):
            assert "--require-hashes" in line or "--no-build-isolation" in line, line


def test_every_licence_is_known_and_allowed_and_listed(supply):
    packages = supply.locked()
    assert len(packages) > 40
    for package in packages:
        choices = set(package.licence.split(" OR "))
        assert choices <= ALLOWED, package
        assert choices != {"GPL-2.0-or-later"}, package
    assert (ROOT / "docs" / "licences.md").read_text(encoding="utf-8") == supply.licences()


def test_the_bill_of_materials_names_every_package_with_its_hashes(supply):
    made = json.loads(supply.bom())
    assert (made["bomFormat"], made["specVersion"], made["version"]) == ("CycloneDX", "1.6", 1)
    text = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    wanted = set(re.findall(r"^([a-z0-9.-]+)==(\S+)", text, re.MULTILINE))
    assert {(one["name"], one["version"]) for one in made["components"]} == wanted
    for one in made["components"]:
        assert one["type"] == "library"
        assert one["purl"] == one["bom-ref"] == f"pkg:pypi/{one['name']}@{one['version']}"
        assert all(re.fullmatch("[0-9a-f]{64}", part["content"]) for part in one["externalReferences"][0]["hashes"])
    assert sum(len(one["externalReferences"][0]["hashes"]) for one in made["components"]) == text.count(
        "--hash=sha256:"
    )
    assert supply.bom() == supply.bom()


def test_an_audit_that_could_ask_nobody_is_no_good_audit():
    """Without it the tool says that no weakness is known, whatever it could not look up (its own manual, --strict)."""
    (target,) = re.findall(r"^audit:.*\n((?:\t.*\n)+)", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)
    asked = target.splitlines()
    assert len(asked) == 2
    assert all("pip_audit --strict " in line for line in asked)


def test_the_wheel_is_the_same_wherever_and_whenever_it_is_made(tmp_path):
    """Another folder, zone, mask and age of files; SOURCE_DATE_EPOCH is not set, as reproducible-builds.org allows."""
    wheels = []
    for name, zone, mask, age in (("a", "UTC", 0o022, 0), ("b/c", "Asia/Kathmandu", 0o077, 86_400 * 400)):
        copy = tmp_path / name
        copy.mkdir(parents=True)
        for folder in ("builder", "templates", "docs"):
            shutil.copytree(ROOT / folder, copy / folder, ignore=shutil.ignore_patterns("__pycache__"))
        for file in ("pyproject.toml", "README.md", "LICENSE"):
            shutil.copy(ROOT / file, copy / file)
        for path in copy.rglob("*"):
            os.utime(path, (1_700_000_000 - age, 1_700_000_000 - age))
        subprocess.run(
            [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(copy / "dist")],
            cwd=copy,
            env={key: value for key, value in os.environ.items() if key != "SOURCE_DATE_EPOCH"} | {"TZ": zone},
            umask=mask,
            check=True,
            capture_output=True,
            timeout=120,
        )
        (wheel,) = (copy / "dist").glob("*.whl")
        wheels.append((wheel.name, wheel.read_bytes()))
    assert wheels[0] == wheels[1]
