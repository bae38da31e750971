"""Versions of packages are those that the library of Python tells, which is the outside source here."""

from __future__ import annotations

import subprocess
import sys
from importlib.metadata import distributions, version

import pytest

from builder.base import installed


@pytest.fixture
def asked_anew(monkeypatch):
    """What is on the path now decides."""
    installed._told.cache_clear()
    yield monkeypatch
    installed._told.cache_clear()


def test_every_installed_package_has_the_version_that_the_library_tells(asked_anew):
    asked_anew.setattr(installed, "_asked", lambda package: f"{package} had to be asked for")
    names = [one.metadata["Name"] for one in distributions()]
    assert len(names) > 20
    assert {name: installed.version_of(name) for name in names} == {name: version(name) for name in names}


def test_what_is_not_installed_has_none():
    assert installed.version_of("no-such-package") == ""


def test_of_two_the_first_on_the_path_counts_and_any_spelling_of_a_name_will_do(asked_anew, tmp_path):
    for folder, number in (("near", "2.0"), ("far", "1.0")):
        told = tmp_path / folder / f"Some_thing-{number}.dist-info"
        told.mkdir(parents=True)
        (told / "METADATA").write_text(f"Metadata-Version: 2.4\nName: Some.thing\nVersion: {number}\n\nVersion: 9\n")
    asked_anew.setattr(sys, "path", [str(tmp_path / "near"), str(tmp_path / "far"), str(tmp_path / "gone"), *sys.path])
    assert [installed.version_of(name) for name in ("some-thing", "Some.thing", "SOME_THING")] == ["2.0"] * 3


def test_what_tells_of_nothing_is_left_to_the_library(asked_anew, tmp_path):
    (tmp_path / "torn-1.0.dist-info").mkdir()
    asked_anew.setattr(sys, "path", [str(tmp_path), *sys.path])
    asked_anew.setattr(installed, "_asked", lambda package: f"asked for {package}")
    assert installed.version_of("torn") == "asked for torn"


def test_the_library_is_not_loaded_for_what_is_installed_as_usual():
    code = (
        "import sys; from builder.base.installed import version_of; assert version_of('jinja2');"
        "print('importlib.metadata' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"
