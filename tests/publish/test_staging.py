"""A site is put in place whole or not at all, and nothing that others put there is ever lost."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from builder.base.errors import PublishError
from builder.base.spool import Spool
from builder.publish import atomic_replace, checksums, readme, staging, unfinished
from builder.publish.staging import publish, reserved

ROOT = Path(__file__).parents[2]
OLD = {"index.html": b"old", "cards/a.pdf": b"%PDF old"}
NEW = {"index.html": b"new", "cards/b.pdf": b"%PDF new"}


def snapshot(folder: Path) -> dict[str, tuple[int, bytes]]:
    """Path -> mode and bytes of everything below ``folder``; folders count with no bytes."""
    return {
        path.relative_to(folder).as_posix(): (path.stat().st_mode, path.read_bytes() if path.is_file() else b"")
        for path in folder.rglob("*")
    }


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def run(code: str, out: Path) -> subprocess.Popen[str]:
    """Start ``code`` in a process of its own, with ``out`` and ``publish`` at hand."""
    head = "import os, signal, sys\nfrom pathlib import Path\nfrom builder.publish import staging, atomic_replace\n"
    head += "from builder.publish.staging import publish\nout = Path(sys.argv[1])\n"
    command = [sys.executable, "-c", head + textwrap.dedent(code), str(out)]
    return subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)


def run_killed(code: str, out: Path) -> None:
    with run(code, out) as process:
        assert process.wait(timeout=60) == -signal.SIGKILL


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """A folder that holds a published site with one released revision."""
    folder = tmp_path / "site"
    publish(OLD | {"revisions/1/index.html": b"released"}, folder)
    return folder


def test_what_is_published_is_what_was_given_with_note_and_checksums(tmp_path):
    report = publish(NEW, tmp_path / "deep" / "site")
    found = {path: data for path, (_, data) in snapshot(tmp_path / "deep" / "site").items() if data}
    sums = found.pop("SHA256SUMS")
    assert found == NEW | {"README.md": readme.TEXT.encode()}
    assert report.files == 4
    assert report.size == sum(map(len, found.values())) + len(sums)
    assert names(tmp_path / "deep") == ["site"]


def test_a_new_build_replaces_all_but_the_released(out):
    report = publish(NEW, out)
    expected = ["README.md", "SHA256SUMS", "cards", "cards/b.pdf", "index.html"]
    assert sorted(snapshot(out)) == [*expected, "revisions", "revisions/1", "revisions/1/index.html"]
    assert report.carried == 1
    assert names(out.parent) == ["site"]


def test_a_file_of_the_same_bytes_is_kept_and_not_written_again(out):
    before = (out / "index.html").stat()
    publish({"index.html": b"old", "cards/a.pdf": b"%PDF new"}, out)
    after = (out / "index.html").stat()
    assert (after.st_ino, after.st_mtime_ns, after.st_nlink) == (before.st_ino, before.st_mtime_ns, 1)
    assert (out / "cards/a.pdf").read_bytes() == b"%PDF new"


def kept(data: bytes, asked: list[bytes]) -> Spool:
    """Files of which one is known by its digest, and tells when its bytes are asked for."""
    files = Spool()
    files.put_later("index.html", checksums.digest(data), lambda: asked.append(data) or data)
    files["cards/b.pdf"] = b"%PDF"
    return files


def test_what_stands_in_the_old_site_is_not_asked_for(out):
    asked, before = [], (out / "index.html").stat()
    publish(kept(b"old", asked), out)
    assert asked == []
    assert ((out / "index.html").read_bytes(), (out / "index.html").stat().st_ino) == (b"old", before.st_ino)
    publish(kept(b"new", asked), out)
    assert asked == [b"new"]
    assert (out / "index.html").read_bytes() == b"new"


def test_the_old_file_is_looked_into_also_where_its_list_tells_of_the_same(out):
    """The digest in the list is what was published; what stands there today counts."""
    (out / "index.html").write_bytes(b"bad")
    asked = []
    publish(kept(b"old", asked), out)
    assert asked == [b"old"]
    assert (out / "index.html").read_bytes() == b"old"
    assert checksums.read_sums((out / "SHA256SUMS").read_bytes())["index.html"] == checksums.digest(b"old")


@pytest.mark.parametrize("spoil", ["bytes", "mode", "link"])
def test_a_file_that_somebody_touched_is_written_anew(out, spoil):
    path = out / "index.html"
    if spoil == "bytes":
        path.write_bytes(b"bad")
    elif spoil == "mode":
        path.chmod(0o600)
    else:
        path.rename(out.parent / "elsewhere")
        path.symlink_to(out.parent / "elsewhere")
    publish(OLD, out)
    assert not path.is_symlink()
    assert (path.read_bytes(), path.stat().st_mode & 0o777) == (b"old", 0o644)


def test_a_file_system_without_links_gets_every_file_written(out, monkeypatch):
    def refused(*_):
        raise OSError(1, "no links here")

    monkeypatch.setattr(os, "link", refused)
    publish(OLD, out)
    assert (out / "index.html").read_bytes() == b"old"
    assert (out / "revisions/1/index.html").read_bytes() == b"released"


def test_the_list_is_accepted_by_the_systems_own_tool(out):
    publish(NEW | {"cards/Grüne Mulde.pdf": b"x"}, out)
    tool = ["sha256sum"] if shutil.which("sha256sum") else ["shasum", "-a", "256"]
    done = subprocess.run([*tool, "-c", "SHA256SUMS"], cwd=out, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    listed = {line.removesuffix(": OK") for line in done.stdout.splitlines()}
    files = {path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file()}
    assert listed == files - {"SHA256SUMS"}


def test_same_files_in_any_order_give_the_same_bytes_and_modes(tmp_path):
    mask = os.umask(0o077)
    try:
        first = publish(NEW, tmp_path / "one")
        os.umask(0o000)
        second = publish(reversed(NEW.items()), tmp_path / "two")
    finally:
        os.umask(mask)
    assert snapshot(tmp_path / "one") == snapshot(tmp_path / "two")
    assert (tmp_path / "one").stat().st_mode == (tmp_path / "two").stat().st_mode
    assert first.digest == second.digest
    assert first.digest != publish(OLD, tmp_path / "two").digest


def test_killed_while_writing_leaves_the_old_site(out):
    before = snapshot(out)
    run_killed(
        """
        def files():
            yield "index.html", b"half"
            os.kill(os.getpid(), signal.SIGKILL)
        publish(files(), out)
        """,
        out,
    )
    assert snapshot(out) == before
    left = [name for name in names(out.parent) if name.startswith("site.new-")]
    assert len(left) == 1
    publish(NEW, out)
    assert names(out.parent) == ["site"]


def test_killed_just_before_the_swap_leaves_the_old_site(out):
    before = snapshot(out)
    run_killed(
        """
        staging.swap = lambda new, old: os.kill(os.getpid(), signal.SIGKILL)
        publish({"index.html": b"complete"}, out)
        """,
        out,
    )
    assert snapshot(out) == before
    left = next(path for path in out.parent.iterdir() if path.name.startswith("site.new-"))
    assert (left / "index.html").read_bytes() == b"complete"


def test_killed_just_after_the_swap_has_the_new_site(out):
    run_killed(
        """
        staging.shutil.rmtree = lambda *args, **more: os.kill(os.getpid(), signal.SIGKILL)
        publish({"index.html": b"complete"}, out)
        """,
        out,
    )
    assert (out / "index.html").read_bytes() == b"complete"
    publish(NEW, out)
    assert names(out.parent) == ["site"]


def test_killed_between_the_two_steps_of_other_systems_is_mended_by_the_next_build(out):
    before = snapshot(out)
    run_killed(
        """
        atomic_replace.exchange = lambda one, other: False
        rename = Path.rename
        def rename_once(self, target):
            rename(self, target)
            os.kill(os.getpid(), signal.SIGKILL)
        Path.rename = rename_once
        publish({"index.html": b"complete"}, out)
        """,
        out,
    )
    assert not out.exists()
    atomic_replace.recover(out)
    assert snapshot(out) == before
    assert names(out.parent) == ["site", "site.lock"]


def test_without_an_exchange_the_result_is_the_same(out, monkeypatch, tmp_path):
    publish(OLD | {"revisions/1/index.html": b"released"}, tmp_path / "other")
    publish(NEW, out)
    monkeypatch.setattr(atomic_replace, "exchange", lambda *_: False)
    publish(NEW, tmp_path / "other")
    assert snapshot(tmp_path / "other") == snapshot(out)
    assert names(tmp_path) == ["other", "site"]


def test_a_swap_that_fails_in_its_second_step_puts_the_old_site_back(out, monkeypatch):
    before = snapshot(out)
    monkeypatch.setattr(atomic_replace, "exchange", lambda *_: False)
    rename = Path.rename

    def refuse_staged(self, target):
        if ".new-" in self.name:
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuse_staged)
    with pytest.raises(PublishError, match="what was published before is untouched"):
        publish(NEW, out)
    assert snapshot(out) == before
    assert names(out.parent) == ["site"]


def test_an_error_from_the_files_passes_and_leaves_the_old_site(out):
    before = snapshot(out)

    def files():
        yield "index.html", b"half"
        raise KeyError("no such card")

    with pytest.raises(KeyError, match="no such card"):
        publish(files(), out)
    assert snapshot(out) == before
    assert names(out.parent) == ["site"]


def test_a_full_disk_is_a_publish_error_and_leaves_the_old_site(out, monkeypatch):
    before = snapshot(out)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(staging, "_write", full)
    with pytest.raises(PublishError, match=r"untouched: \[Errno 28\] No space left on device"):
        publish(NEW, out)
    assert snapshot(out) == before
    assert names(out.parent) == ["site"]


def test_a_second_build_is_refused_and_does_not_disturb_the_first(out):
    code = """
        def files():
            yield "index.html", b"first"
            print("half", flush=True)
            sys.stdin.readline()
            yield "more.html", b"first"
        publish(files(), out)
    """
    with run(code, out) as first:
        assert first.stdout.readline() == "half\n"
        with pytest.raises(PublishError, match="another build is writing"):
            publish(NEW, out)
        assert (out / "index.html").read_bytes() == b"old"
        first.stdin.write("go on\n")
        first.stdin.flush()
        assert first.wait(timeout=60) == 0
    assert (out / "more.html").read_bytes() == b"first"
    publish(NEW, out)
    assert names(out.parent) == ["site"]


def test_a_folder_of_somebody_else_is_refused(tmp_path):
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / "thesis.txt").write_text("years of work")
    with pytest.raises(PublishError, match=r"was not made by this builder and holds thesis\.txt"):
        publish(NEW, tmp_path / "site")
    assert names(tmp_path / "site") == ["thesis.txt"]


def test_somebody_elses_list_of_checksums_does_not_make_a_folder_ours(tmp_path):
    publish(NEW, tmp_path / "site")
    (tmp_path / "site" / "README.md").write_text("# Disc images\n")
    with pytest.raises(PublishError, match="was not made by this builder"):
        publish(NEW, tmp_path / "site")


def test_a_site_never_lies_in_a_folder_that_its_content_extends(tmp_path):
    for name in ("content", "company"):
        (tmp_path / name).mkdir()
    (tmp_path / "content/site.yaml").write_text("extends: ../company\n", encoding="utf-8")
    out = tmp_path / "company/site"
    with pytest.raises(PublishError, match="lie in each other"), reserved(out, tmp_path / "content"):
        pass
    with reserved(tmp_path / "site", tmp_path / "content"):
        pass


def test_a_file_dropped_into_our_folder_is_not_lost(out):
    (out / "cards" / "notes.txt").write_text("mine")
    with pytest.raises(PublishError, match=r"would be lost: cards/notes\.txt; move it elsewhere"):
        publish(NEW, out)
    assert (out / "cards" / "notes.txt").read_text() == "mine"


def test_what_a_system_drops_into_any_folder_does_not_stop_a_build(out):
    (out / "cards" / ".DS_Store").write_bytes(b"x")
    publish(NEW, out)
    assert not (out / "cards" / ".DS_Store").exists()


@pytest.mark.parametrize("make", [lambda _: None, Path.mkdir], ids=["missing", "empty"])
def test_a_missing_or_an_empty_folder_is_taken(tmp_path, make):
    make(tmp_path / "site")
    assert publish(NEW, tmp_path / "site").carried == 0
    assert (tmp_path / "site" / "index.html").read_bytes() == b"new"


def test_a_file_in_the_place_of_the_folder_is_refused(tmp_path):
    (tmp_path / "site").write_text("a file")
    with pytest.raises(PublishError, match="is a file"):
        publish(NEW, tmp_path / "site")
    assert (tmp_path / "site").read_text() == "a file"


def test_a_fresh_checkout_with_note_and_revisions_only_is_taken(out):
    shutil.rmtree(out / "cards")
    (out / "index.html").unlink()
    (out / "SHA256SUMS").unlink()
    sums = checksums.write_sums({"index.html": checksums.digest(b"released")})
    (out / "revisions" / "1" / "SHA256SUMS").write_bytes(sums)  # as every release has
    assert publish(NEW, out).carried == 2


def test_a_link_is_followed_to_the_folder_it_names(out, tmp_path):
    (tmp_path / "current").symlink_to(out)
    assert publish(NEW, tmp_path / "current").out == out
    assert (tmp_path / "current").is_symlink()
    assert (out / "index.html").read_bytes() == b"new"


def test_folders_that_only_resemble_leftovers_are_not_touched(out):
    own = ["my-site.new-0123456789abcdef", "site.new-0123456789abcdef", "site.new-ideas", "site.old-0123456789abcdef"]
    for name in own:
        (out.parent / name).mkdir()
        (out.parent / name / "notes.txt").write_text("mine")
    left = unfinished.note(out, "new")
    left.mkdir()
    publish(NEW, out)
    assert names(out.parent) == sorted([*own, "site"])
    assert all((out.parent / name / "notes.txt").read_text() == "mine" for name in own)


def test_everything_reaches_the_disk_before_the_swap_and_the_swap_itself_after(out, monkeypatch):
    steps = []
    sync, put = os.fsync, staging.swap

    def noted_sync(handle):
        steps.append(os.fstat(handle).st_ino)
        sync(handle)

    def noted_swap(new, old):
        steps.append("swap")
        put(new, old)

    monkeypatch.setattr(os, "fsync", noted_sync)
    monkeypatch.setattr(staging, "swap", noted_swap)
    publish(NEW, out)
    at = steps.index("swap")
    carried = {(out / "revisions/1/index.html").stat().st_ino}  # on the disk since it was released
    whole = {path.stat().st_ino for path in (out, *out.rglob("*"))}
    assert whole - carried <= set(steps[:at])
    assert steps[at + 1 :] == [out.parent.stat().st_ino]


def test_a_site_moved_aside_comes_back_even_where_an_empty_folder_was_made(out):
    before = snapshot(out)
    out.rename(unfinished.note(out, "old"))
    out.mkdir()
    atomic_replace.recover(out)
    assert snapshot(out) == before
