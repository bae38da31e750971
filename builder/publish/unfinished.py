"""Folders that a build makes beside a site for a while, written down first, so that a killed one can be cleared up.

Only what is written down is ever renamed or removed: a folder of somebody's own may have any name.
"""

import os
import re
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from builder.base.errors import PublishError

HEAD = "Folders beside this file that a build of the handbook did not clear away yet; the next build does.\n"


def beside(out: Path, kind: str) -> Path:
    """A name beside ``out``, on the same file system, that nothing has yet: ``site.new-0f3a...``."""
    return out.with_name(f"{out.name}.{kind}-{secrets.token_hex(8)}")


def note(out: Path, kind: str) -> Path:
    """A name as of :func:`beside` that is written down until :func:`forget`.

    :raises PublishError: when somebody's own file has the name of the list.
    """
    path, names = beside(out, kind), _names(out, kind)
    with _list_of(out, kind).open("w", encoding="utf-8") as stream:
        stream.write(HEAD + "".join(f"{name}\n" for name in (*names, path.name)))
        stream.flush()
        os.fsync(stream.fileno())
    sync_folder(out.parent)
    return path


def noted(out: Path, kind: str) -> list[Path]:
    """The folders that were written down and are there, sorted."""
    paths = (out.with_name(name) for name in _names(out, kind))
    return sorted(path for path in paths if path.is_dir() and not path.is_symlink())


def forget(out: Path, kind: str) -> None:
    """Write nothing down any more, once nothing is left."""
    if not noted(out, kind):
        _list_of(out, kind).unlink(missing_ok=True)


@contextmanager
def scratch(out: Path, kind: str) -> Iterator[Path]:
    """A name beside ``out`` for a folder; whatever stands there in the end is removed."""
    path = note(out, kind)
    try:
        yield path
    finally:
        shutil.rmtree(path, ignore_errors=True)
        forget(out, kind)


def _list_of(out: Path, kind: str) -> Path:
    return out.with_name(f".{out.name}.{kind}-unfinished")


def _names(out: Path, kind: str) -> list[str]:
    path = _list_of(out, kind)
    if not path.exists():
        return []
    text = path.read_text(encoding="utf-8", errors="replace")
    if text and not HEAD.startswith(text[: len(HEAD)]):  # a killed build may have written a part of it
        raise PublishError(f"{path} is no file of this builder; move it elsewhere")
    form = re.compile(rf"{re.escape(out.name)}\.{kind}-[0-9a-f]{{16}}")
    return [name for name in text[len(HEAD) :].split("\n") if form.fullmatch(name)]


def sync_folder(folder: Path) -> None:
    """Have the names in ``folder`` written to the disk."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
