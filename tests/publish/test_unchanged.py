"""A build that would only make again what stands there is told so, and nothing else is."""

import json
import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from builder.base.store import FileStore
from builder.cli import run
from builder.publish import unchanged
from builder.publish.staging import publish

ROOT = Path(__file__).parents[2]
DAY = date(2026, 11, 25)
SAID = "draft: 1 page; findings: 0 stops, 1 warn, 0 notes"
HEAVY = ("pint", "weasyprint", "jinja2", "babel", "yaml", "markdown_it", "rich", "openpyxl", "icalendar", "pypdf",
         "fontTools", "segno", "distributed", "filelock", "builder.pipeline",
         "builder.figures", "builder.program")  # fmt: skip


@pytest.fixture
def place(tmp_path):
    """Content, a site that stands for what a build of it put there, and a cache that knows so."""
    content = tmp_path / "content"
    (content / "areas").mkdir(parents=True)
    (content / "site.yaml").write_text("name: A site\n")
    (content / "areas" / "pit.yaml").write_text("id: pit\n")
    publish({"index.html": b"<p>", "cards/pit.pdf": b"%PDF"}, tmp_path / "site")
    unchanged.remember(FileStore(tmp_path / "cache"), key(tmp_path), tmp_path / "site", SAID)
    return tmp_path


def key(place, **other):
    asked = {"content": place / "content", "out": place / "site", "as_of": DAY, "release": False, **other}
    return unchanged.request_key(asked["content"], asked["out"], asked["as_of"], release=asked["release"])


def said(place, **other):
    return unchanged.said_before(FileStore(place / "cache"), key(place, **other), place / "site")


def test_nothing_changed(place):
    assert said(place) == SAID
    os.utime(place / "content" / "site.yaml", (1, 1))
    assert said(place) == SAID, "bytes count, not times"


@pytest.mark.parametrize(
    ("path", "data"),
    [
        ("content/site.yaml", b"name: B site\n"),
        ("content/areas/new.yaml", b""),
        ("content/notes.txt", b"unused"),
        ("site/index.html", b"<q>"),
        ("site/SHA256SUMS", b"0" * 64 + b"  index.html\n"),
        ("site/SHA256SUMS", b"no list"),
        ("site/strange.html", b"put there by somebody"),
    ],
)
def test_any_other_byte_is_seen(place, path, data):
    (place / path).write_bytes(data)
    assert said(place) == ""


@pytest.mark.parametrize("path", ["content/areas/pit.yaml", "site/cards/pit.pdf", "site/SHA256SUMS"])
def test_a_file_that_is_gone_is_seen(place, path):
    (place / path).unlink()
    assert said(place) == ""


def test_a_renamed_content_file_is_seen(place):
    (place / "content" / "areas" / "pit.yaml").rename(place / "content" / "areas" / "pits.yaml")
    assert said(place) == ""


def test_a_byte_of_a_folder_that_is_extended_is_seen(place):
    (place / "company").mkdir()
    (place / "content" / "site.yaml").write_text("extends: ../company\nname: A site\n")
    (place / "company" / "areas.yaml").write_text("areas: []\n")
    before = key(place)
    assert before
    assert key(place) == before
    (place / "company" / "areas.yaml").write_text("areas: [ ]\n")
    assert key(place) not in ("", before)


@pytest.mark.parametrize("data", [b"", b"{", b"\x80\x05", b"7", b"null", b"[1]", b"[1, 2]"])
def test_what_others_put_in_the_place_of_what_was_said_says_nothing(place, data):
    """RFC 8259, 2: any of it may be JSON, or none; whoever shares a cache may have put it there."""
    FileStore(place / "cache").put(key(place), data)
    assert said(place) == ""


def test_another_day_flag_place_builder_or_library_is_another_build(place, monkeypatch):
    assert said(place, as_of=date(2026, 11, 26)) == ""
    assert said(place, release=True) == ""
    assert said(place, out=place / "elsewhere") == ""
    before = key(place)
    monkeypatch.setattr(unchanged, "versions", lambda: "other")
    assert key(place) not in ("", before)


def test_what_cannot_be_told_is_built(place, monkeypatch):
    with monkeypatch.context() as patched:
        patched.setattr(unchanged, "drawing", dict)
        assert key(place) == "", "libraries that do not say which they are"
    os.mkfifo(place / "content" / "pipe.yaml")
    assert key(place) == "", "what is no file is not waited for"
    assert said(place) == ""


def test_folders_linked_in_a_circle_are_not_followed(place):
    (place / "content" / "areas" / "round").symlink_to(place / "content", target_is_directory=True)
    assert key(place) == ""


def test_a_signature_may_stand_beside(place):
    (place / "site" / "SHA256SUMS.sig").write_bytes(b"signed")
    assert said(place) == SAID


def arguments(place):
    return ["build", "--content", str(place / "content"), "--out", str(place / "site"), "--as-of", DAY.isoformat(),
            "--cache", str(place / "cache")]  # fmt: skip


def test_the_command_says_so_in_one_line(place, capsys):
    assert run(arguments(place)) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    (line,) = captured.out.splitlines()
    assert line.startswith(f"nothing changed since {SAID}; open file://")


def test_without_cache_everything_is_built(place, capsys):
    assert run([*arguments(place), "--no-cache"]) == 1, "this content is no site"
    assert "fault" in capsys.readouterr().err


@pytest.mark.parametrize("within", ["content", "site"])
def test_nothing_is_kept_where_it_would_become_content_or_site(place, capsys, within, monkeypatch):
    """A release would freeze it, and a site of which nobody knows a file is never replaced."""
    before = sorted((place / within).rglob("*"))
    for kept in (place / within, place / within / "deep" / "cache"):
        assert run([*arguments(place)[:-1], str(kept)]) == 2
        assert f"lies in {place / within}" in capsys.readouterr().err
    monkeypatch.setenv("HANDBOOK_CACHE", str(place / within / "kept"))
    assert run(arguments(place)[:-2]) == 2
    assert sorted((place / within).rglob("*")) == before
    assert run([*arguments(place)[:-2], "--no-cache"]) == 1, "this content is no site"


def test_nothing_heavy_is_loaded(place):
    code = "import json, sys; from builder.cli import run; run(sys.argv[1:]); print(json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments(place)], capture_output=True, text=True, check=True, cwd=ROOT
    )
    line, modules = done.stdout.splitlines()
    assert line.startswith("nothing changed")
    loaded = {name for name in json.loads(modules) if name.startswith(HEAVY)}
    assert loaded == set()
