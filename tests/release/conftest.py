"""A small sound site, released twice with planted changes between; every test works on copies."""

from __future__ import annotations

import shutil

import pytest

from builder.release.release import release
from tests.release.release_kit import FIRST_DAY, PLANTED, SECOND_DAY, Released, asked, edit, sound_content
from tests.shared import changed, made_once, root_of, workshop


def first(folder):
    """Revision 2 released."""
    sound_content(folder / "content")
    with workshop() as shop:
        release(folder / "content", folder / "site", FIRST_DAY, asked(2, FIRST_DAY), shop=shop)


def second(before, folder):
    """Revision 3 released after the planted changes, a week later."""
    for name in ("content", "site"):
        shutil.copytree(before / name, folder / name)
    for file, old, new in PLANTED:
        edit(folder / "content" / file, old, new)
    with workshop() as shop:
        release(folder / "content", folder / "site", SECOND_DAY, asked(3, SECOND_DAY), shop=shop)


@pytest.fixture(scope="session")
def once(tmp_path_factory):
    """Revision 2 released, once a run."""
    folder = made_once(root_of(tmp_path_factory), "released-once", first)
    yield Released(content=folder / "content", out=folder / "site")
    assert changed(folder) == [], "a test changed a release that others read"


@pytest.fixture(scope="session")
def twice(once, tmp_path_factory):
    """Revision 3 released too, once a run."""
    root = root_of(tmp_path_factory)
    folder = made_once(root, "released-twice", lambda made: second(once.content.parent, made))
    yield Released(content=folder / "content", out=folder / "site")
    assert changed(folder) == [], "a test changed a release that others read"
