"""Nothing in a site keeps a command without end: no pipe or device is read, no number beyond bounds worked out."""

from __future__ import annotations

import json
import os
import shutil
import signal
from contextlib import contextmanager

import pytest

from builder.base.errors import ArchiveError
from builder.base.spool import Spool
from builder.cli.main import run
from builder.figures.recompute import recompute
from builder.history.archive import read_archive
from builder.history.ledger_files import FIGURES
from builder.history.resolved_findings import courses
from builder.publish.checksums import NAME, digest
from builder.publish.ledger_json import put_ledger
from builder.publish.staging import publish
from tests.conftest import DAY, MINIMAL
from tests.shared import judged_once

DATA = ("about.json", "figures.json", "texts.json", "cards.json", "findings.json")
PATIENCE = 20
NO_FILES = {"pipe": os.mkfifo, "device": lambda path: path.symlink_to("/dev/zero")}


@pytest.fixture(autouse=True)
def _patience():
    """Ends what waits for ever."""

    def stop(*_):
        raise AssertionError("it waits for what never ends")

    before = signal.signal(signal.SIGALRM, stop)
    signal.alarm(PATIENCE)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.fixture
def site(tmp_path):
    """A site of one release, of which no file says anything."""
    frozen = dict.fromkeys((*DATA, "index.html"), b"{}")
    files = {f"revisions/1/{name}": data for name, data in frozen.items()} | frozen
    files[f"revisions/1/{NAME}"] = "".join(
        f"{digest(data)}  {name}\n" for name, data in sorted(frozen.items())
    ).encode()
    publish(files, tmp_path / "site")
    return tmp_path / "site"


@contextmanager
def replaced(path, made):
    """Something else under the name of a file; folders of a release are read-only."""
    path.parent.chmod(0o755)
    path.unlink()
    made(path)
    yield path


@pytest.mark.parametrize("made", NO_FILES.values(), ids=NO_FILES)
@pytest.mark.parametrize("name", ["index.html", "figures.json", "revisions/1/index.html", f"revisions/1/{NAME}"])
def test_verify_tells_it_and_opens_nothing(name, made, site, capsys):
    with replaced(site / name, made):
        assert run(["verify", str(site)]) == 1
    told = capsys.readouterr()
    assert f"fault: {name}: is a {'pipe' if made is os.mkfifo else 'link'}, where a plain file must be" in told.err
    assert "nothing was opened" in told.out


@pytest.mark.parametrize("made", NO_FILES.values(), ids=NO_FILES)
@pytest.mark.parametrize("name", ["figures.json", "texts.json", "cards.json"])
def test_a_release_that_is_compared_or_built_upon_is_not_waited_for(name, made, site, tmp_path, capsys):
    with replaced(site / "revisions" / "1" / name, made):
        with pytest.raises(ArchiveError):
            read_archive(site)
        content = shutil.copytree(MINIMAL, tmp_path / "content")
        assert run(["build", "--content", str(content), "--out", str(site), "--quiet", "--no-cache"]) == 1
    assert "\n" not in capsys.readouterr().err.strip()


@pytest.mark.parametrize("made", NO_FILES.values(), ids=NO_FILES)
def test_findings_of_a_release_are_not_waited_for(made, site):
    with replaced(site / "revisions" / "1" / "findings.json", made), pytest.raises(ArchiveError, match="no plain file"):
        courses(site, ())


def test_a_folder_of_content_that_is_not_there_is_called_by_its_own_name(tmp_path, capsys):
    missing = tmp_path / "nowhere"
    assert run(["check", "--content", str(missing)]) == 1
    told = capsys.readouterr().err
    assert f"{missing.as_posix()}: no such folder [file-missing]" in told
    assert "nowhere/nowhere" not in told


# ---- numbers without end ---------------------------------------------------------------------------------

ENDLESS = {
    "digits": lambda one: one.update(rule={"direction": "up", "why": "w", "digits": 10**400}),
    "step": lambda one: one.update(rule={"direction": "up", "why": "w", "step": "1e-999999999"}),
    "cap": lambda one: one.update(rule={"direction": "up", "why": "w", "step": "1", "cap": "1e999999999"}),
    "input": lambda one: one["inputs"][0].update(value={"number": "1e999999999", "unit": "ppm"}),
    "bare input": lambda one: one["inputs"][0].update(value={"number": "1e-999999999"}),
    "count": lambda one: one["inputs"][0].update(value=10**4000),
}


@pytest.mark.parametrize("change", ENDLESS.values(), ids=ENDLESS)
def test_a_ledger_with_a_number_without_end_is_told_at_once(change, small_ledger):
    """What an exponent or a count makes of a short text may need all memory; JSON itself has no bound (RFC 8259, 6)."""
    figures = json.loads(json.dumps(small_ledger))
    key = next(key for key, one in figures.items() if one["inputs"] and one["rule"])
    assert recompute(figures) == ()
    change(figures[key])
    (told, *_) = recompute(figures)
    assert told.key == key


@pytest.fixture(scope="module")
def small_ledger():
    """Some figures of the smallest site, with all that they are made of, as its file tells them."""
    ledger = judged_once(MINIMAL, DAY).ledger
    told = {}
    put_ledger(files := Spool(), ledger, {}, {})
    for path, data in files.items():
        if path != FIGURES:
            told |= json.loads(data)["figures"]
    return told
