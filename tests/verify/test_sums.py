"""Whatever stands in a site without being listed is told, of whatever kind, and nothing is opened that is no file."""

from __future__ import annotations

import os
import shutil
import socket

import pytest

from builder.cli import run
from builder.publish import checksums
from builder.publish.sites import put_index
from builder.verify.report import Check
from builder.verify.sums import check_sums, verify_sites


@pytest.fixture
def site(tmp_path):
    """Two listed files."""
    files = {"index.html": b"one", "areas/pit.html": b"two"}
    for path, data in files.items():
        (tmp_path / path).parent.mkdir(exist_ok=True)
        (tmp_path / path).write_bytes(data)
    sums = checksums.write_sums({path: checksums.digest(data) for path, data in files.items()})
    (tmp_path / checksums.NAME).write_bytes(sums)
    return tmp_path


def told(site):
    check = Check("checksums")
    check_sums(site, check, "")
    return [str(fault) for fault in check.faults]


def test_a_sound_folder_has_nothing_wrong(site):
    assert told(site) == []


NOBODY = "is not listed in SHA256SUMS: nobody vouches for it"


def test_unlisted_things_of_every_kind_are_told(site, monkeypatch):
    (site / "extra.html").write_text("x", encoding="utf-8")
    (site / "hidden.sig").write_text("x", encoding="utf-8")
    (site / "link").symlink_to(site / "index.html")
    (site / "outside").symlink_to("/")
    (site / "empty").mkdir()
    os.mkfifo(site / "pipe")
    with socket.socket(socket.AF_UNIX) as listening:
        monkeypatch.chdir(site)  # names of sockets are short
        listening.bind("socket")
    assert told(site) == [
        f"empty: an empty folder that {NOBODY}",
        f"extra.html: {NOBODY}",
        f"hidden.sig: {NOBODY}",
        f"link: a link that {NOBODY}",
        f"outside: a link that {NOBODY}",
        f"pipe: a pipe that {NOBODY}",
        f"socket: a socket that {NOBODY}",
    ]


def test_signatures_stand_only_where_they_sign_something(site):
    (site / "SHA256SUMS.sig").write_text("x", encoding="utf-8")
    (site / "revisions" / "2").mkdir(parents=True)
    (site / "revisions" / "2" / checksums.NAME).write_bytes(b"")
    for name in ("2.sig", "3.sig"):
        (site / "revisions" / name).write_text("x", encoding="utf-8")
    assert told(site) == [f"revisions/2/SHA256SUMS: {NOBODY}", f"revisions/3.sig: {NOBODY}"]


@pytest.mark.parametrize(
    ("made", "what"),
    [
        (os.mkfifo, "is a pipe, where a plain file must be"),
        (lambda path: path.symlink_to("areas/pit.html"), "is a link, where a plain file must be"),
        (lambda path: path.mkdir(), "is a folder, where a plain file must be"),
        (lambda path: path.write_bytes(b"other"), "is not what SHA256SUMS lists: it was changed"),
        (lambda _: None, "is listed in SHA256SUMS, but missing"),
    ],
    ids=["pipe", "link", "folder", "changed", "missing"],
)
def test_a_listed_file_is_a_plain_file_with_its_bytes(site, made, what):
    (site / "index.html").unlink()
    made(site / "index.html")
    assert f"index.html: {what}" in told(site)


def test_a_list_that_leads_out_of_the_folder_is_told(site):
    listed = (site / checksums.NAME).read_text(encoding="utf-8")
    (site / checksums.NAME).write_text(listed + f"{'0' * 64}  ../secret\n", encoding="utf-8")
    assert told(site) == ["../secret: is no path of a site"]


def test_without_a_list_that_alone_is_told(site):
    (site / checksums.NAME).write_text("nothing\n", encoding="utf-8")
    (fault,) = told(site)
    assert fault.startswith("SHA256SUMS: SHA256SUMS:1: 'nothing' is no checksum line")


# ---- an index over sites ---------------------------------------------------------------------------


@pytest.fixture
def index(site, tmp_path_factory):
    """A folder of one site with the index over it."""
    root = tmp_path_factory.mktemp("index")
    shutil.copytree(site, root / "north")
    put_index({"index.html": b"i", "assets/site.css": b"c"}, ["north"], root)
    return root


def listed_too(root, path, data):
    """Put there, with its line in the list."""
    (root / path).write_bytes(data)
    with (root / checksums.OF_SITES).open("a", encoding="utf-8") as stream:
        stream.write(f"{checksums.digest(data)}  {path}\n")


def found_in(root):
    return [str(fault) for fault in verify_sites(root).faults]


def test_a_sound_index_has_nothing_wrong(index):
    assert found_in(index) == []


def test_what_stands_beside_the_sites_is_told(index):
    (index / "notes.html").write_text("x", encoding="utf-8")
    (index / "south").mkdir()
    (index / "south" / "index.html").write_text("x", encoding="utf-8")
    (index / "north" / "more.html").write_text("x", encoding="utf-8")
    nobody = "is not listed in sites.sha256: nobody vouches for it"
    assert found_in(index) == [
        f"notes.html: {nobody}",
        f"south/index.html: {nobody}",
        f"north/more.html: {NOBODY}",
    ]


def test_a_link_to_a_site_elsewhere_is_told(index, site):
    shutil.rmtree(index / "north")
    (index / "north").symlink_to(site)
    assert "north: a link that is not listed in sites.sha256: nobody vouches for it" in found_in(index)


def test_a_site_that_is_made_to_pass_for_an_index_is_told(index, capsys):
    """Of an index the checksums alone are held: what a page says would go unread."""
    listed_too(index, "setpoints.html", b"forged")
    assert found_in(index) == ["setpoints.html: is no file of an index over sites: give the folder of a site alone"]
    (index / "north" / "setpoints.html").write_bytes(b"forged")
    listed_too(index / "north", "index.html", b"i")
    assert run(["verify", str(index / "north")]) == 1
    assert "fault: setpoints.html: is not listed in SHA256SUMS" in capsys.readouterr().err
