"""A library that is not there is told with what to do, and not taken for one that the memory is too small for."""

from __future__ import annotations

import re
import subprocess
import sys
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

from builder.base import missing
from builder.cli.main import run

ROOT = Path(__file__).parents[2]
UNTOUCHED = "; what was published before is untouched"


def told(error, monkeypatch, capsys):
    """What a command says that this befalls."""

    def fail(*_args, **_named):
        raise error

    monkeypatch.setattr("builder.pipeline.judge", fail)
    status = run(["check", "--content", str(ROOT / "tests" / "sites" / "minimal"), "--quiet"])
    return status, capsys.readouterr().err.strip()


def test_a_missing_library_is_named_by_its_package_with_the_command_that_installs_it(monkeypatch, capsys):
    error = ModuleNotFoundError("No module named 'yaml'", name="yaml")
    command = f"{sys.executable} -m pip install --require-hashes -r {ROOT / 'requirements.lock'}"
    expected = f"the library pyyaml is not installed; install it: {command}{UNTOUCHED}"
    assert told(error, monkeypatch, capsys) == (1, expected)


def test_a_library_that_the_system_cannot_map_is_told_as_too_little_memory(monkeypatch, capsys):
    """Source: what the loader of glibc says of it, dl-load.c."""
    error = ImportError("x.so: failed to map segment from shared object: Cannot allocate memory", name="x", path="x.so")
    expected = f"a library cannot be loaded ({error}), as with too little memory; --jobs 1 takes least{UNTOUCHED}"
    assert told(error, monkeypatch, capsys) == (1, expected)


def test_a_fault_of_the_program_is_not_taken_for_a_refusal_of_the_system(monkeypatch, capsys):
    with pytest.raises(RuntimeError, match=r"^a fault$"):
        told(RuntimeError("a fault"), monkeypatch, capsys)


@pytest.mark.parametrize(
    ("module", "requirement"), [("weasyprint.css", "weasyprint"), ("markdown_it", "markdown-it-py")]
)
def test_a_wheel_asks_for_the_versions_that_it_needs(module, requirement, monkeypatch):
    monkeypatch.setattr(missing, "LOCK", ROOT / "gone")
    project = (ROOT / "pyproject.toml").read_text()
    (least,) = re.findall(rf'"{requirement}>=([0-9.]+)', project)
    command = missing.lacks(module).partition(": ")[2]
    assert command.startswith(f"{sys.executable} -m pip install ")
    assert requirement in command
    assert f">={least}" in command


def test_what_is_no_library_is_not_looked_for_in_a_registry(monkeypatch):
    monkeypatch.setattr(sys, "executable", "python")
    assert missing.lacks("builder.load.gone") == "the program is not whole, it lacks builder.load.gone; install it anew"
    assert missing.lacks("_ssl") == "this Python is not whole, it lacks its own module _ssl; take another one"


def test_every_library_that_the_builder_imports_is_known_by_its_package():
    """Source: what the installed packages themselves say of their modules."""
    known = packages_distributions()
    texts = [path.read_text() for path in (ROOT / "builder").rglob("*.py")]
    imported = {name for text in texts for name in re.findall(r"^\s*(?:from|import) (\w+)", text, re.MULTILINE)}
    libraries = {name: known[name] for name in imported if name in known and name != "builder"}
    assert len(libraries) > 10
    for name, packages in libraries.items():
        package = missing.PACKAGES.get(name, name).replace("_", "-").lower()
        assert package in [one.replace("_", "-").lower() for one in packages]


@pytest.mark.parametrize(("name", "package"), [("yaml", "pyyaml"), ("click", "click")])
def test_whoever_really_lacks_one_reads_a_line(name, package):
    code = f"import sys; sys.modules[{name!r}] = None; from builder.__main__ import main; main()"
    content = str(ROOT / "tests" / "sites" / "minimal")
    command = [sys.executable, "-c", code, "check", "--quiet", "--content", content]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert re.fullmatch(rf"the library {package} is not installed; install it: .*\n", done.stderr)
