"""A small sound site, released twice with planted changes between; every test works on copies."""

from __future__ import annotations

import shutil

import pytest

from builder.release.release import release
from tests.release.release_kit import FIRST_DAY, PLANTED, SECOND_DAY, Released, asked, edit, sound_content


@pytest.fixture(scope="session")
def once(tmp_path_factory):
    """Revision 2 released."""
    folder = tmp_path_factory.mktemp("release")
    made = Released(content=sound_content(folder / "content"), out=folder / "site")
    release(made.content, made.out, FIRST_DAY, asked(2, FIRST_DAY))
    return made


@pytest.fixture(scope="session")
def twice(once, tmp_path_factory):
    """Revision 3 released after the planted changes, a week later."""
    folder = tmp_path_factory.mktemp("again")
    made = Released(content=folder / "content", out=folder / "site")
    shutil.copytree(once.content, made.content)
    shutil.copytree(once.out, made.out)
    for file, before, after in PLANTED:
        edit(made.content / file, before, after)
    release(made.content, made.out, SECOND_DAY, asked(3, SECOND_DAY))
    return made
