"""A released revision never changes: not by a build, not unnoticed by anybody else."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder.base.errors import PublishError
from builder.publish import checksums, staging
from builder.publish.staging import publish

RELEASED = Path("revisions/1/index.html")


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """A site with one released revision, of a mode and time that no build would give it."""
    folder = tmp_path / "site"
    publish({"index.html": b"old", RELEASED.as_posix(): b"released"}, folder)
    (folder / RELEASED).chmod(0o444)
    os.utime(folder / RELEASED, (1_000_000_000, 1_000_000_000))
    return folder


def no_links(*_):
    raise OSError(95, "Operation not supported")


@pytest.mark.parametrize("links", [True, False], ids=["linked", "copied"])
def test_bytes_mode_and_time_stay(out, monkeypatch, links):
    if not links:
        monkeypatch.setattr(staging.os, "link", no_links)
    number = (out / RELEASED).stat().st_ino
    publish({"index.html": b"new"}, out)
    status = (out / RELEASED).stat()
    assert (out / RELEASED).read_bytes() == b"released"
    assert (status.st_mode & 0o777, status.st_mtime) == (0o444, 1_000_000_000)
    assert (status.st_ino == number) is links


def test_a_new_revision_stands_beside_the_old(out):
    report = publish({"index.html": b"new", "revisions/2/index.html": b"second"}, out)
    assert report.carried == 1
    assert (out / RELEASED).read_bytes() == b"released"
    assert (out / "revisions/2/index.html").read_bytes() == b"second"


def test_the_same_bytes_given_again_are_taken_from_the_old_site(out):
    assert publish({RELEASED.as_posix(): b"released"}, out).carried == 1
    assert (out / RELEASED).stat().st_mtime == 1_000_000_000


@pytest.mark.parametrize("path", [RELEASED.as_posix(), "revisions/1/more.html"], ids=["changed", "added"])
def test_a_build_cannot_change_or_add_to_a_released_revision(out, path):
    with pytest.raises(PublishError, match="would change revisions/1/, which is released"):
        publish({path: b"other"}, out)
    assert (out / RELEASED).read_bytes() == b"released"
    assert (out / "index.html").read_bytes() == b"old"


def test_a_revision_changed_by_hand_stops_the_build(out):
    (out / RELEASED).chmod(0o644)
    (out / RELEASED).write_bytes(b"improved")
    with pytest.raises(PublishError, match=r"differ from SHA256SUMS: revisions/1/index\.html"):
        publish({"index.html": b"new"}, out)


def test_a_revision_that_was_deleted_stops_the_build(out):
    (out / RELEASED).unlink()
    (out / RELEASED).parent.rmdir()
    (out / "revisions").rmdir()
    with pytest.raises(PublishError, match=r"differ from SHA256SUMS: revisions/1/index\.html"):
        publish({"index.html": b"new"}, out)


@pytest.mark.parametrize(
    "path", ["revisions/1/more.html", "revisions/notes.html", "revisions/01/index.html", "revisions/2/index.html"]
)
def test_what_somebody_put_among_revisions_is_never_vouched_for(out, path):
    """Who lists whatever is found there vouches for it, and so does who signs the list."""
    (out / path).parent.mkdir(exist_ok=True)
    (out / path).write_bytes(b"put there")
    with pytest.raises(PublishError, match=f"holds what no release put there: {path}; move it elsewhere"):
        publish({"index.html": b"new"}, out)
    assert (out / "index.html").read_bytes() == b"old"


def test_a_signature_of_a_revision_that_came_after_the_build_is_carried_over(out):
    (out / "revisions" / "1.sig").write_bytes(b"signed")
    publish({"index.html": b"new"}, out)
    assert (out / "revisions" / "1.sig").read_bytes() == b"signed"


def test_a_frozen_copy_is_held_against_its_own_list_where_that_of_the_site_is_gone(tmp_path):
    sums = checksums.write_sums({"index.html": checksums.digest(b"released")})
    publish({RELEASED.as_posix(): b"released", "revisions/1/SHA256SUMS": sums}, tmp_path)
    (tmp_path / "SHA256SUMS").unlink()
    (tmp_path / RELEASED).write_bytes(b"improved")
    with pytest.raises(PublishError, match=r"differ from SHA256SUMS: revisions/1/index\.html"):
        publish({"index.html": b"new"}, tmp_path)


def test_a_link_among_released_files_stops_the_build(out, tmp_path):
    (tmp_path / "elsewhere").mkdir()
    (out / "revisions" / "2").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(PublishError, match="found others: revisions/2"):
        publish({"index.html": b"new"}, out)
