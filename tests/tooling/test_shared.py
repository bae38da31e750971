"""What is made once a run: by one worker of several, wholly or not at all, and changed by nobody."""

from __future__ import annotations

import os
import signal
from multiprocessing import get_context
from types import SimpleNamespace

import pytest

from tests.shared import changed, made_once, root_of


def make(folder):
    (folder / "page.html").write_text("x", encoding="utf-8")
    with (folder.parent / "count").open("a", encoding="utf-8") as count:
        count.write("made\n")


def killed_half_way(folder):
    (folder / "half.html").write_text("x", encoding="utf-8")
    os.kill(os.getpid(), signal.SIGKILL)


def count(root):
    return (root / "count").read_text(encoding="utf-8").count("made")


def test_several_that_ask_at_once_have_it_made_by_one(tmp_path):
    workers = [get_context("fork").Process(target=made_once, args=(tmp_path, "site", make)) for _ in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert [worker.exitcode for worker in workers] == [0] * 4
    assert count(tmp_path) == 1
    assert [path.name for path in made_once(tmp_path, "site", make).iterdir()] == ["page.html"]


def test_what_was_interrupted_is_made_anew(tmp_path):
    worker = get_context("fork").Process(target=made_once, args=(tmp_path, "site", killed_half_way))
    worker.start()
    worker.join()
    assert worker.exitcode == -signal.SIGKILL
    assert [path.name for path in (tmp_path / "site").iterdir()] == ["half.html"]
    assert [path.name for path in made_once(tmp_path, "site", make).iterdir()] == ["page.html"]


def test_what_failed_is_told_and_not_kept(tmp_path):
    def fail(_):
        raise ValueError("no")

    with pytest.raises(ValueError, match="no"):
        made_once(tmp_path, "site", fail)
    made_once(tmp_path, "site", make)
    assert count(tmp_path) == 1


def test_a_change_is_noticed(tmp_path):
    folder = made_once(tmp_path, "site", make)
    assert changed(folder) == []
    (folder / "page.html").write_text("y", encoding="utf-8")
    (folder / "more.html").write_text("z", encoding="utf-8")
    assert changed(folder) == ["more.html", "page.html"]


def test_workers_of_a_run_share_one_folder_and_a_run_without_them_has_its_own(tmp_path, monkeypatch):
    monkeypatch.setenv("PYTEST_XDIST_WORKER", "gw0")
    roots = set()
    for worker in ("gw0", "gw1"):
        own = tmp_path / f"popen-{worker}"
        own.mkdir()
        roots.add(root_of(SimpleNamespace(getbasetemp=lambda own=own: own)))
    assert roots == {tmp_path / "shared"}
    monkeypatch.delenv("PYTEST_XDIST_WORKER")
    assert root_of(SimpleNamespace(getbasetemp=lambda: tmp_path / "popen-gw0")) == tmp_path / "popen-gw0" / "shared"
