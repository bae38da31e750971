"""The small sound site of these tests, changed by text and read again."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from builder.base.errors import ContentError
from builder.load.content import load_content
from builder.program.read import read_program
from builder.reference.library import library

if TYPE_CHECKING:
    from collections.abc import Callable

    from builder.program.program import Program

SITE = Path(__file__).parent / "site"


@pytest.fixture
def site() -> Path:
    """The sound site itself; never written to."""
    return SITE


@pytest.fixture
def changed(tmp_path: Path) -> Callable[..., Path]:
    """A copy of the sound site after changes (file, old, new), each of which must match exactly once."""

    def change(*changes: tuple[str, str, str]) -> Path:
        folder = tmp_path / "content"
        shutil.copytree(SITE, folder)
        for name, old, new in changes:
            path = folder / name
            text = path.read_text(encoding="utf-8")
            assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
            path.write_text(text.replace(old, new), encoding="utf-8")
        return folder

    return change


@pytest.fixture
def program_of() -> Callable[[Path], Program]:
    """The program of a folder; raises when it holds a fault."""

    def read(folder: Path) -> Program:
        documents, problems = load_content(folder)
        return read_program(documents, problems, library())

    return read


@pytest.fixture
def told(program_of: Callable[[Path], Program]) -> Callable[[Path], list[str]]:
    """The lines of the message for a folder; none when it is sound."""

    def tell(folder: Path) -> list[str]:
        try:
            program_of(folder)
        except ContentError as error:
            return str(error).split("\n")
        return []

    return tell
