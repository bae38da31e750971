"""A folder that is written new stands there whole, or nothing of it does."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from builder.base.errors import PublishError
from builder.cli import run
from builder.publish.new_folder import write_new

FILES = {"site.yaml": b"name: x\n", "cards/worn.yaml": b"a", "cards/pumped.yaml": b"b", "areas.yaml": b"c"}
START = ["--trade", "farm", "--name", "Trial", "--quiet"]


def stopped_at(times, stop, before):
    """The same function, stopped when it is called so many times."""
    calls = iter(range(1, 1000))

    def after(*given, **named):
        if next(calls) == times:
            raise stop
        return before(*given, **named)

    return after


@pytest.fixture(params=["new", "empty"])
def place(request, tmp_path):
    """A folder that is not there, and one that is there and empty; how it looks."""
    folder = tmp_path / "content"
    if request.param == "empty":
        folder.mkdir()
    before = sorted(tmp_path.rglob("*"))
    return folder, lambda: sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("name", ["write_bytes", "rename"])
@pytest.mark.parametrize("stop", [OSError(errno.ENOSPC, "No space left on device"), KeyboardInterrupt()])
def test_nothing_is_left_of_what_was_stopped(place, name, stop, monkeypatch):
    folder, as_before = place
    times = 3 if name == "write_bytes" else 2 if folder.exists() else 1
    with monkeypatch.context() as patched:
        patched.setattr(Path, name, stopped_at(times, stop, getattr(Path, name)))
        with pytest.raises(PublishError if isinstance(stop, OSError) else KeyboardInterrupt):
            write_new(FILES, folder)
    assert as_before()
    write_new(FILES, folder)
    found = {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert found == FILES


def test_an_empty_folder_stays_the_one_that_somebody_works_in(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert run(["start", ".", *START]) == 0
    assert Path("site.yaml").is_file()
    assert [path.name for path in Path.cwd().iterdir() if ".new-" in path.name] == []


def test_a_starter_on_a_full_disk_is_told_and_leaves_nothing(place, monkeypatch, capsys):
    folder, as_before = place
    full = OSError(errno.ENOSPC, "No space left on device")
    with monkeypatch.context() as patched:
        patched.setattr(Path, "write_bytes", stopped_at(5, full, Path.write_bytes))
        assert run(["start", str(folder), *START]) == 1
    assert "could not be written: [Errno 28] No space left on device" in capsys.readouterr().err
    assert as_before()
    assert run(["start", str(folder), *START]) == 0
