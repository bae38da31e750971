"""Where the system gives too little, a command says so in a line and the old site stands.

Disks that are full, read-only or out of inodes are real ones in memory where this system lets a test mount such; what
a process may have is really limited; the rest is refused where the library asks the system.
"""

from __future__ import annotations

import os
import resource
import shutil
import signal
import subprocess
import time
from contextlib import contextmanager

import pytest

from builder.cli.main import run
from tests.conftest import MINIMAL
from tests.trust.kills import ROOT, Place, members, workers
from tests.trust.long import LONG
from tests.trust.test_kills import NEXT_DAY, RELEASE, assert_cleared, made, place

__all__ = ["made", "place"]

WRITTEN = "pathlib:Path.write_bytes:after"


def limited(place, line, **limits):
    """Status and words of a command under limits of the system."""

    def limit():
        for name, value in limits.items():
            resource.setrlimit(getattr(resource, f"RLIMIT_{name}"), (value, value))

    done = subprocess.run(
        line,
        cwd=ROOT,
        env=os.environ | {"TMPDIR": str(place.temp), "HANDBOOK_CACHE": str(place.root / "cache")},
        capture_output=True,
        text=True,
        preexec_fn=limit,
        timeout=300,
        check=False,
    )
    return done.returncode, done.stderr


def refused(place, before, status, said, *words):
    assert status == 1, said
    assert "Traceback" not in said
    assert len(said.strip().split("\n")) == 1, said
    assert any(word in said for word in words), said
    assert place.whole() == before


# ---- what a process may have ----------------------------------------------------------------------


def test_a_file_that_cannot_grow_leaves_the_old_site(place):
    """What a full disk does, for a file; EFBIG and ENOSPC take the same way."""
    before = place.whole()
    status, said = limited(place, place.command("build", *NEXT_DAY, "--no-cache"), FSIZE=20_000)
    refused(place, before, status, said, "File too large")
    assert_cleared(place)


@pytest.mark.parametrize("name", ["MemoryError", "SystemError"] if LONG else ["SystemError"])
def test_too_little_memory_is_told(name, place):
    """The second is how the interpreter itself may say it, where it has nothing left to make the first one from."""
    before = place.whole()
    line = place.command("build", *NEXT_DAY, "--no-cache", point="builder.pipeline:compose:after", number=name)
    status, said = place.run(line)
    refused(place, before, status, said, "too little memory")
    assert_cleared(place)


@pytest.mark.skipif(not LONG, reason="part of the long run")
def test_really_too_little_memory_leaves_the_old_site(place):
    before = place.whole()
    for megabytes in range(90, 30, -10):  # the first that is too little: systems differ
        status, said = limited(place, place.command("build", *NEXT_DAY, "--no-cache"), AS=megabytes * 2**20)
        if status:
            break
        before = place.whole()
    refused(place, before, status, said, "too little memory")


@pytest.mark.skipif(not LONG, reason="part of the long run")
@pytest.mark.parametrize("megabytes", [130, 160, 190, 220])
def test_too_little_memory_for_papers_leaves_the_old_site(megabytes, place):
    """A library in C may end the process on the spot, which nothing written in Python can tell."""
    before = place.whole()
    line = place.command("build", *NEXT_DAY, "--no-cache", "--jobs", "1", whole="whole")
    status, said = limited(place, line, AS=megabytes * 2**20)
    assert status in (0, 1, -signal.SIGSEGV, -signal.SIGABRT, -signal.SIGTRAP), said
    assert "Traceback" not in said
    assert (place.whole() == before) == (status != 0)


def test_too_few_open_files_are_told(place):
    before = place.whole()
    line = place.command("build", *NEXT_DAY, "--no-cache", "--jobs", "8", whole="whole")
    status, said = limited(place, line, NOFILE=12)
    refused(place, before, status, said, "Too many open files", "too many open files")


@pytest.mark.parametrize("name", ["EAGAIN", "ENOMEM"] if LONG else ["EAGAIN"])
def test_no_process_to_be_had_is_told(name, place):
    before = place.whole()
    arguments = (*NEXT_DAY, "--no-cache", "--jobs", "2")
    line = place.command("build", *arguments, point="os:fork:before", number=name, whole="whole")
    status, said = place.run(line)
    refused(place, before, status, said, "Resource temporarily unavailable", "Cannot allocate memory")
    assert_cleared(place)


REFUSED = [
    (point, name)
    for name in ("ENOSPC", "EROFS", "EACCES", "EDQUOT")
    for point in ("os:fsync:before", "pathlib:Path.mkdir:before", "pathlib:Path.chmod:before", WRITTEN)
]


@pytest.mark.parametrize(("point", "name"), REFUSED if LONG else [(WRITTEN, "ENOSPC")])
def test_a_disk_that_refuses_leaves_the_old_site(point, name, place):
    before = place.whole()
    status, said = place.run(place.command("build", *NEXT_DAY, "--no-cache", point=point, number=name))
    refused(place, before, status, said, "could not be written", "cannot be written")


def test_a_killed_worker_is_told(place):
    before = place.whole()
    line = place.command("build", *NEXT_DAY, "--no-cache", "--jobs", "2", whole="whole")
    with place.start(line) as process:
        until = time.monotonic() + 120
        while workers(process.pid) < 3:
            assert time.monotonic() < until
            time.sleep(0.01)
        os.kill(max(members(process.pid)), signal.SIGKILL)
        _, said = process.communicate(timeout=120)
    place.group_ended(process)
    refused(place, before, process.returncode, said, "ended before its work was done")
    assert_cleared(place)


# ---- names and places --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["n" * 240, "n" * 300, "/".join(["n" * 200] * 30)])
def test_names_that_are_too_long_are_told(name, tmp_path, capsys):
    where = str(tmp_path / name)
    assert run(["build", "--content", str(MINIMAL), "--out", where, "--quiet", "--no-cache"]) == 1
    assert "too long" in capsys.readouterr().err
    assert run(["check", "--content", where]) in (1, 2)
    assert capsys.readouterr().err


@pytest.mark.parametrize("command", ["compare", "verify", "trace", "evidence", "gas", "convert"])
def test_five_thousand_digits_are_told(command, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    digits = "9" * 5000
    words = {"verify": [digits], "evidence": ["--site", digits], "convert": [digits, "ppm", "%vol"]}.get(
        command, [digits, "--content", str(MINIMAL)]
    )
    status = run([command, *words])
    assert status in ((0, 1, 2) if command == "convert" else (1, 2))
    told = capsys.readouterr()
    assert told.out + told.err


# ---- real disks ---------------------------------------------------------------------------------------


@contextmanager
def disk(folder, options):
    """A file system in memory; skips where nobody lets a test mount one."""
    folder.mkdir(exist_ok=True)
    done = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", options, "none", str(folder)], capture_output=True, check=False
    )
    if done.returncode:
        pytest.skip(f"no disk can be mounted here: {done.stderr.decode().strip()}")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


def on_disk(made, tmp_path, options):
    """A place whose site lies on a disk of its own."""
    own = Place(shutil.copytree(made.root, tmp_path / "place", ignore=shutil.ignore_patterns("www")))

    @contextmanager
    def mounted():
        with disk(own.parent, options):
            shutil.copytree(made.out, own.out)
            yield own

    return mounted()


@pytest.mark.parametrize(
    ("options", "word"), [("size=3m", "No space left"), ("nr_inodes=600", "No space left")], ids=["full", "no inodes"]
)
@pytest.mark.parametrize("name", ["build", "release"] if LONG else ["release"])
def test_a_full_disk_leaves_the_old_site(name, options, word, made, tmp_path):
    arguments = NEXT_DAY if name == "build" else RELEASE
    with on_disk(made, tmp_path, options) as place:
        before = place.whole()
        while fill(place.parent, options):
            pass
        status, said = place.run(place.command(name, *arguments, "--no-cache"))
        refused(place, before, status, said, word)
        for path in place.parent.glob("fill-*"):
            path.unlink()
        assert_cleared(place)
        assert not (place.content / "revisions" / "2.yaml").exists()


def fill(folder, options):
    """Take most of what is left: all but a little room, or all but a few names."""
    left = os.statvfs(folder)
    number = len(list(folder.glob("fill-*")))
    if "inodes" in options:
        if left.f_ffree <= 8:
            return False
        (folder / f"fill-{number}").touch()
        return True
    room = left.f_bavail * left.f_frsize - 24_576
    if room <= 0:
        return False
    (folder / f"fill-{number}").write_bytes(b"x" * room)
    return True


@pytest.mark.parametrize("name", ["build", "release"] if LONG else ["build"])
def test_a_read_only_disk_leaves_the_old_site(name, made, tmp_path):
    arguments = NEXT_DAY if name == "build" else RELEASE
    with on_disk(made, tmp_path, "size=9m") as place:
        before = place.whole()
        subprocess.run(["mount", "-o", "remount,ro", str(place.parent)], check=True)
        status, said = place.run(place.command(name, *arguments, "--no-cache"))
        refused(place, before, status, said, "Read-only file system", "cannot be written")


@pytest.mark.skipif(not LONG, reason="part of the long run")
def test_a_full_folder_for_what_is_temporary_is_told(made, tmp_path):
    own = Place(shutil.copytree(made.root, tmp_path / "place"))
    with disk(own.temp, "size=64k"):
        (own.temp / "fill").write_bytes(b"x" * 64 * 1024)
        before = own.whole()
        status, said = own.run(own.command("build", *NEXT_DAY, "--no-cache", "--jobs", "2", whole="whole"))
        (own.temp / "fill").unlink()
        assert status in (0, 1), said
        assert "Traceback" not in said
        assert (own.whole() == before) == (status == 1)


# ---- more than one -------------------------------------------------------------------------------------


def test_of_builds_at_once_one_is_made_and_the_others_are_told(place):
    line = place.command("build", *NEXT_DAY, "--no-cache")
    before = place.whole()
    running = [place.start(line) for _ in range(4 if LONG else 2)]
    ended = []
    for process in running:
        with process:
            _, said = process.communicate(timeout=120)
        ended.append((process.returncode, said))
    assert all(status == 0 or "another build is writing" in said for status, said in ended), ended
    assert any(status == 0 for status, _ in ended)
    assert place.whole() != before
    assert_cleared(place)


def test_a_build_beside_a_release_is_told_or_made_after_it(place):
    """Whichever is first, both end truly and the site is whole."""
    running = [
        place.start(place.command(name, *arguments)) for name, arguments in (("release", RELEASE), ("build", NEXT_DAY))
    ]
    for process in running:
        with process:
            _, said = process.communicate(timeout=120)
        assert process.returncode in (0, 1), said
        assert "Traceback" not in said
    assert place.whole()
    assert_cleared(place)
