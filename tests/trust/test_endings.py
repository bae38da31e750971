"""How a command ends: its status says what it did, whoever could read of it, and what it says of the site is true.

Status 128 and the number of the signal is what POSIX shells report, IEEE Std 1003.1 section 2.8.2; that nothing is
lost is the project's own promise.
"""

from __future__ import annotations

import errno
import subprocess
import sys
from concurrent.futures import BrokenExecutor
from datetime import date
from pathlib import Path

import pytest

from builder import building, pipeline
from builder.base.errors import PublishError
from builder.cli import build as build_command
from builder.cli.main import run
from builder.cli.streams import LastingStream
from builder.publish import atomic_replace, lock, readme, staging, unfinished
from builder.publish.staging import publish, reserved
from tests.trust.long import LONG

MINIMAL = Path(__file__).parent.parent / "sites" / "minimal"
ROOT = Path(__file__).parents[2]


@pytest.fixture
def out(tmp_path):
    publish({"index.html": b"old"}, tmp_path / "site")
    return tmp_path / "site"


@pytest.fixture
def light(monkeypatch):
    """Builds lay nothing out, which is not what is looked at here."""
    monkeypatch.setattr(building, "render", lambda *_, **__: {"index.html": b"new"})


def handbook(redirect, *arguments, cwd=ROOT):
    """Status and error output of a command whose output goes where the shell is told."""
    line = f'"$0" -m builder "$@" {redirect}'
    done = subprocess.run(
        ["bash", "-c", line, sys.executable, *map(str, arguments)], capture_output=True, text=True, cwd=cwd, check=False
    )
    assert "Traceback" not in done.stderr
    assert "Exception ignored" not in done.stderr
    return done.returncode, done.stderr


GOOD = [
    ("", ""),
    ("| true; exit ${PIPESTATUS[0]}", ""),
    ("| head -n 1; exit ${PIPESTATUS[0]}", ""),
    ("> /dev/full", "what was to be said could not be written"),
    ("2> /dev/full", ""),
    (">&- 2>&-", ""),
    ("< /dev/null >&-", ""),
    ("> /dev/full 2> /dev/full", ""),
]
"""Where output goes, and what is said of it."""
WRONG = ["| true; exit ${PIPESTATUS[0]}", ">&- 2>&-", "2> /dev/full", "&> /dev/full"]


@pytest.mark.parametrize(("redirect", "said"), GOOD if LONG else GOOD[1::2])
def test_a_good_check_stays_good_wherever_its_output_goes(redirect, said, content):
    status, told = handbook(redirect, "check", "--content", content, "--notes", "--as-of", "2026-11-25")
    assert status == 0, told
    assert said in told


@pytest.mark.parametrize("redirect", WRONG if LONG else WRONG[:2])
def test_a_wrong_content_stays_wrong_wherever_its_output_goes(redirect, content):
    (content / "site.yaml").write_text("name: [\n", encoding="utf-8")
    assert handbook(redirect, "check", "--content", content)[0] == 1
    if LONG:
        assert handbook(redirect, "check", "--no-such-option")[0] == 2


def test_what_is_held_back_is_lost_too_once_a_stream_is():
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        stream = LastingStream(full)
        assert stream.write("held back") == len("held back")
        stream.flush()
        assert stream.lost.errno == errno.ENOSPC
        stream.write("more")
        stream.flush()


# ---- what is said of the site ------------------------------------------------------------------


def stopped(build, capsys):
    assert build() == 130
    return capsys.readouterr().err


def build_of(content, out):
    return lambda: run(["build", "--content", str(content), "--out", str(out), "--no-cache", "--jobs", "1", "--quiet"])


def stop(*_, **__):
    raise KeyboardInterrupt


@pytest.mark.usefixtures("light")
def test_stopped_before_the_swap_the_old_site_is_untouched(content, out, monkeypatch, capsys):
    monkeypatch.setattr(staging, "swap", stop)
    assert "what was published before is untouched" in stopped(build_of(content, out), capsys)
    assert (out / "index.html").read_bytes() == b"old"


@pytest.mark.parametrize(
    ("module", "name"),
    [
        (atomic_replace, "sync_folder"),
        (staging.shutil, "rmtree"),
        (staging, "forget"),
        (build_command, "show_findings"),
    ],
)
@pytest.mark.usefixtures("light")
def test_stopped_after_the_swap_the_new_site_stands_and_that_is_said(module, name, content, out, monkeypatch, capsys):
    monkeypatch.setattr(module, name, stop)
    told = stopped(build_of(content, out), capsys)
    assert f"the new site stands in {out}" in told
    assert "untouched" not in told
    assert (out / "index.html").read_bytes() == b"new"


@pytest.mark.usefixtures("light")
def test_a_disk_that_fails_after_the_swap_is_told_with_the_site_that_stands(content, out, monkeypatch, capsys):
    def fail(_):
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(atomic_replace, "sync_folder", fail)
    assert build_of(content, out)() == 1
    assert f"{out} holds the new site" in capsys.readouterr().err
    assert (out / "index.html").read_bytes() == b"new"


@pytest.mark.parametrize("after", [1, 2])
def test_stopped_between_the_two_steps_of_other_systems_a_whole_site_stands(after, out, monkeypatch):
    monkeypatch.setattr(atomic_replace, "exchange", lambda *_: False)
    rename, count = Path.rename, []

    def renamed(self, target):
        rename(self, target)
        count.append(self)
        if len(count) == after:
            raise KeyboardInterrupt

    monkeypatch.setattr(Path, "rename", renamed)
    with pytest.raises(KeyboardInterrupt) as caught:
        publish({"index.html": b"new"}, out)
    new = after == 2
    assert (out / "index.html").read_bytes() == (b"new" if new else b"old")
    assert bool(getattr(caught.value, "__notes__", ())) == new
    assert sorted(path.name for path in out.parent.iterdir()) == ["site"]


# ---- no traceback --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "fault",
    [
        OSError(errno.ENAMETOOLONG, "File name too long"),
        OSError(errno.EMFILE, "Too many open files"),
        BlockingIOError(errno.EAGAIN, "Resource temporarily unavailable"),
        OSError(errno.ENOSPC, "No space left on device"),
        MemoryError(),
        RecursionError(),
        BrokenExecutor("a process was killed"),
    ],
    ids=lambda fault: type(fault).__name__ + str(getattr(fault, "errno", "")),
)
def test_what_the_system_refuses_is_told_in_a_line(fault, content, out, monkeypatch, capsys):
    def refuse(*_, **__):
        raise fault

    monkeypatch.setattr(building, "render", refuse)
    assert build_of(content, out)() == 1
    told = capsys.readouterr().err.strip()
    assert told.endswith("what was published before is untouched")
    assert "\n" not in told
    assert (out / "index.html").read_bytes() == b"old"


def test_an_edition_of_five_thousand_digits_is_none(content, out, capsys):
    assert run(["compare", "9" * 5000, "draft", "--content", str(content), "--out", str(out)]) == 2
    assert "no edition is called" in capsys.readouterr().err


# ---- refused before anything is laid out -----------------------------------------------------------


@pytest.fixture
def unread(monkeypatch):
    """What is refused early is refused before the content is even read."""

    def fail(*_, **__):
        raise AssertionError("the content was read")

    monkeypatch.setattr(pipeline, "judge", fail)


def early(content, out, capsys):
    assert build_of(content, out)() == 1
    return capsys.readouterr().err


@pytest.mark.usefixtures("unread")
def test_a_folder_of_others_is_refused_early(content, tmp_path, capsys):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "notes.txt").write_text("mine", encoding="utf-8")
    assert "was not made by this builder" in early(content, tmp_path / "mine", capsys)
    assert (tmp_path / "mine" / "notes.txt").read_text(encoding="utf-8") == "mine"


@pytest.mark.usefixtures("unread")
def test_the_root_and_places_in_the_content_are_refused_early(content, capsys):
    assert "root of a file system" in early(content, "/", capsys)
    assert "lie in each other" in early(content, content / "site", capsys)
    assert "lie in each other" in early(content, content.parent, capsys)


@pytest.mark.parametrize("length", [240, 255, 256, 5000])
@pytest.mark.usefixtures("unread")
def test_a_name_too_long_for_the_file_system_is_refused_early(length, content, tmp_path, capsys):
    assert "File name too long" in early(content, tmp_path / ("n" * length), capsys)


@pytest.mark.usefixtures("unread")
def test_a_place_that_cannot_be_written_is_refused_early(content, tmp_path, capsys):
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert "could not be written" in early(content, tmp_path / "file" / "site", capsys)
    assert "cannot be written here" in early(content, "/proc/site", capsys)


@pytest.mark.usefixtures("unread")
def test_another_build_that_is_running_is_told_early(content, out, capsys):
    holder = "import sys; from builder.publish.lock import only_build; from pathlib import Path\n"
    holder += "with only_build(Path(sys.argv[1])): print('held', flush=True); sys.stdin.read()"
    with subprocess.Popen(
        [sys.executable, "-c", holder, str(out)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=ROOT
    ) as other:
        assert other.stdout.readline() == b"held\n"
        assert "another build is writing" in early(content, out, capsys)
        other.stdin.close()


def test_a_build_holds_its_place_from_the_beginning(content, out, monkeypatch):
    def second(*_, **__):
        with pytest.raises(PublishError, match="another build is writing"), lock.only_build(out):
            pass
        return {"index.html": b"new"}

    monkeypatch.setattr(building, "render", second)
    building.build(content, out, date(2026, 11, 25))
    assert (out / readme.NAME).is_file()


# ---- nothing of the user's own is touched ------------------------------------------------------------


def test_files_of_others_with_the_names_of_ours_are_kept(out, content):
    own = [out.with_name("site.lock"), out.with_name(".site.new-unfinished"), out.with_name(".site.old-unfinished")]
    for path in own:
        path.write_text("mine", encoding="utf-8")
        with pytest.raises(PublishError, match="move it elsewhere"), reserved(out, content):
            pass
        assert path.read_text(encoding="utf-8") == "mine"
        path.unlink()


def test_only_names_of_the_right_form_are_taken_from_a_list(out):
    (out.parent / "mine").mkdir()
    left = unfinished.note(out, "new")
    with (out.parent / ".site.new-unfinished").open("a", encoding="utf-8") as stream:
        stream.write("mine\n../content\nsite\n")
    assert unfinished.noted(out, "new") == []
    left.mkdir()
    assert unfinished.noted(out, "new") == [left]
