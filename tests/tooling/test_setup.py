"""Setting up says in one line what is missing, and installs it itself only where it may."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FAKE_APT = '#!/bin/sh\necho "$*" >>"$APT_LOG"\n[ "${APT_FAILS_ON:-}" != "$4" ]\n'
FAKE_ID = "#!/bin/sh\necho 0\n"


@pytest.fixture
def system(tmp_path: Path) -> dict[str, str]:
    """The environment of a machine whose apt-get only writes down what it was asked, run as root."""
    (tmp_path / "bin").mkdir()
    for name, text in {"apt-get": FAKE_APT, "id": FAKE_ID}.items():
        (tmp_path / "bin" / name).write_text(text)
        (tmp_path / "bin" / name).chmod(0o755)
    (tmp_path / "lists").mkdir()
    (tmp_path / "lists" / "example_Packages.lz4").touch()
    return os.environ | {
        "PATH": f"{tmp_path / 'bin'}{os.pathsep}{os.environ['PATH']}",
        "APT_LOG": str(tmp_path / "log"),
        "HANDBOOK_APT_LISTS": str(tmp_path / "lists"),
        "HANDBOOK_APT": "yes",
    }


def setup(system: dict[str, str], *arguments: str, **changes: str) -> subprocess.CompletedProcess[str]:
    command = ["sh", ".ci/setup.sh", *arguments]
    return subprocess.run(command, cwd=ROOT, env=system | changes, capture_output=True, text=True, check=False)


def asked(tmp_path: Path) -> list[str]:
    """What the stand-in for apt-get was asked, without its options."""
    log = tmp_path / "log"
    return [line.split(" ", 3)[3] for line in log.read_text().splitlines()] if log.exists() else []


INSTALL = "install -y --no-install-recommends"
LIBRARIES = f"{INSTALL} libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
ABSENT = {"HANDBOOK_LIBRARIES": "pango-1.0 absent-for-the-test"}


def test_libraries_that_load_are_left_alone(system, tmp_path):
    done = setup(system, "libraries", sys.executable)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert asked(tmp_path) == []


def test_missing_libraries_are_named_in_one_line_for_every_system(system, tmp_path):
    done = setup(system, "libraries", sys.executable, HANDBOOK_APT="no", **ABSENT)
    assert done.returncode == 1
    assert done.stderr == (
        "setup: the PDF engine cannot load pango-1.0 absent-for-the-test. "
        "Debian/Ubuntu: apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; Fedora: dnf install pango; "
        "macOS: brew install pango; Windows: use WSL\n"
    )
    assert asked(tmp_path) == []


def test_make_stops_with_that_line_and_builds_nothing(system, tmp_path):
    """A stand-in environment that counts as ready shows that the check comes before the build."""
    for name in (".ci/setup.sh", "Makefile"):
        (tmp_path / "copy" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "copy" / name).write_text((ROOT / name).read_text())
    tools = tmp_path / "copy" / ".venv" / "bin"
    tools.mkdir(parents=True)
    (tools / "python").symlink_to(sys.executable)
    (tools / "handbook").write_text("#!/bin/sh\necho built\n")
    (tools / "handbook").chmod(0o755)
    (tools.parent / "place").write_text(f"{tmp_path / 'copy'}\n")
    for name in ("pyproject.toml", "requirements.lock", ".venv/run-time"):
        (tmp_path / "copy" / name).touch()
    clean = {key: value for key, value in system.items() if not key.startswith(("MAKE", "MFLAGS"))}

    def make(**changes: str) -> subprocess.CompletedProcess[str]:
        command = ["make", "-j4", "handbook"]
        return subprocess.run(
            command, cwd=tmp_path / "copy", env=clean | changes, capture_output=True, text=True, check=False
        )

    assert make().stdout == "built\n"
    missing = make(HANDBOOK_APT="no", **ABSENT)
    assert missing.returncode == 2
    assert missing.stdout == ""
    assert missing.stderr.startswith("setup: the PDF engine cannot load")


def test_missing_packages_are_installed_where_that_needs_no_question(system, tmp_path):
    done = setup(system, "libraries", sys.executable, **ABSENT)
    assert asked(tmp_path) == [LIBRARIES]
    assert done.returncode == 1, "the stand-in installs nothing, so the check after it still fails"


def test_lists_are_fetched_first_when_there_are_none(system, tmp_path):
    (tmp_path / "lists" / "example_Packages.lz4").unlink()
    setup(system, "libraries", sys.executable, **ABSENT)
    assert asked(tmp_path) == ["update", LIBRARIES]


def test_lists_that_are_too_old_are_fetched_again(system, tmp_path):
    setup(system, "libraries", sys.executable, APT_FAILS_ON="install", **ABSENT)
    assert asked(tmp_path) == [LIBRARIES, "update", LIBRARIES]


def test_missing_pdf_tools_are_installed_or_named(system, tmp_path):
    done = setup(system, "poppler", HANDBOOK_PDF_TOOLS="absent-for-the-test")
    assert asked(tmp_path) == [f"{INSTALL} poppler-utils"]
    assert done.returncode == 1
    assert done.stderr.splitlines()[-1] == (
        "setup: the tests read PDFs with Poppler's tools, which are missing. "
        "Debian/Ubuntu: apt install poppler-utils; Fedora: dnf install poppler-utils; macOS: brew install poppler; "
        "Windows: use WSL"
    )


def test_a_missing_browser_is_installed_or_named(system, tmp_path):
    done = setup(system, "browser", HANDBOOK_BROWSERS="absent-for-the-test")
    assert asked(tmp_path) == [f"{INSTALL} chromium"]
    assert done.returncode == 1
    assert done.stderr.splitlines()[-1].startswith(
        "setup: the tests read pages in Chromium, which is missing. Debian: apt install chromium; Fedora: dnf install"
    )


def test_missing_page_checkers_are_installed_or_named(system, tmp_path):
    done = setup(system, "checkers", HANDBOOK_CHECKERS="sh absent-for-the-test")
    assert asked(tmp_path) == [f"{INSTALL} npm default-jre-headless"]
    assert done.returncode == 1
    assert done.stderr.splitlines()[-1].startswith(
        "setup: the tests check pages with tools that npm installs and java runs, and one of the two is missing. "
        "Debian/Ubuntu: apt install npm default-jre-headless; Fedora: dnf install npm"
    )


def test_a_missing_signing_tool_is_installed_or_named(system, tmp_path):
    done = setup(system, "openssh", HANDBOOK_SSH_TOOL="absent-for-the-test")
    assert asked(tmp_path) == [f"{INSTALL} openssh-client"]
    assert done.returncode == 1
    assert done.stderr.splitlines()[-1].startswith(
        "setup: the tests sign sites with ssh-keygen, which is missing. Debian/Ubuntu: apt install openssh-client"
    )


def test_a_browser_and_checkers_that_are_there_are_left_alone(system, tmp_path):
    assert setup(system, "browser", HANDBOOK_BROWSERS="absent-for-the-test sh").returncode == 0
    assert setup(system, "checkers", HANDBOOK_CHECKERS="git").returncode == 0
    assert asked(tmp_path) == []


def test_an_old_python_is_named_with_what_is_needed(system, tmp_path):
    """The stand-in prints as an old Python does, and fails whatever is asked of it beyond that."""
    old = tmp_path / "bin" / "python-old"
    old.write_text('#!/bin/sh\ncase "$2" in *assert*) exit 1 ;; esac\necho "found Python 3.9.2"\n')
    old.chmod(0o755)
    done = setup(system, "venv", str(tmp_path / "venv"), PYTHON="python-old")
    assert asked(tmp_path) == [f"{INSTALL} python3 python3-venv"]
    assert done.returncode == 1
    assert done.stderr.splitlines()[-1].startswith(
        "setup: found Python 3.9.2, but Python 3.11 or newer with its venv module is needed. Debian/Ubuntu: apt install"
    )
    assert not (tmp_path / "venv").exists()
