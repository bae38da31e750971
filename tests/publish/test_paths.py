"""Paths that escape, or that two systems would read in two ways, never reach the disk."""

from __future__ import annotations

import pytest

from builder.base.errors import PublishError
from builder.publish.paths import PathBook
from builder.publish.staging import publish
from tests.each import each

REFUSED = {
    "../up.html": 'has an empty, "." or ".." part',
    "a/../../up.html": 'has an empty, "." or ".." part',
    "./a": 'has an empty, "." or ".." part',
    "a//b": 'has an empty, "." or ".." part',
    "a/": 'has an empty, "." or ".." part',
    "": 'has an empty, "." or ".." part',
    "/etc/motd": "is absolute",
    "C:/a": "a character that not every system allows",
    "a\\b": "a character that not every system allows",
    "a\nb": "a character that not every system allows",
    "a\ud800": "a character that not every system allows",
    "why?.html": "a character that not every system allows",
    "notes.": "ends in a point or a space",
    "cards /a.pdf": "ends in a point or a space",
    "aux.html": "name of a device",
    "forms/COM1": "name of a device",
}


@pytest.mark.parametrize(("path", "reason"), REFUSED.items(), ids=map(repr, REFUSED))
def test_a_path_that_is_not_safe_everywhere_is_refused(tmp_path, path, reason):
    with pytest.raises(PublishError, match=reason):
        publish({"index.html": b"", path: b""}, tmp_path / "site")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("path", ["a", ".nojekyll", "console/com.html", "cards/..a.pdf", "karten/grün ₂.pdf"])
def test_a_path_that_is_safe_everywhere_is_taken(tmp_path, path):
    publish({path: b"data"}, tmp_path / "site")
    assert (tmp_path / "site" / path).read_bytes() == b"data"


COLLIDING = [
    ("a.html", "A.html", "both 'a.html' and 'A.html'"),
    ("straße", "STRASSE", "both 'straße' and 'STRASSE'"),
    ("caf\u00e9", "cafe\u0301", "some systems take them for one"),
    ("cards/a", "Cards/b", "both 'cards/' and 'Cards/b'"),
    ("a", "a/b", "one is inside the other"),
    ("a/b", "a", "some systems take them for one"),
    ("a", "a", "'a' twice"),
    ("b", "Revisions", "both"),
    ("b", "README.md", "'README.md' twice"),
    ("b", "SHA256SUMS", "'SHA256SUMS' twice"),
]


@each(("first", "second", "message"), COLLIDING)
def test_paths_that_collide_are_refused(first, second, message):
    book = PathBook()
    for path in ("README.md", "SHA256SUMS", "revisions/1/index.html", first):
        book.take(path)
    with pytest.raises(PublishError, match=message):
        book.take(second)


def test_a_path_given_twice_is_refused_by_publish(tmp_path):
    with pytest.raises(PublishError, match=r"'index\.html' twice"):
        publish([("index.html", b"1"), ("index.html", b"1")], tmp_path / "site")
    assert list(tmp_path.iterdir()) == []
