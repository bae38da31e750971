"""Writes a folder that is new or empty: all of it or nothing, as on a full disk or where somebody stops it."""

import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from builder.base.errors import PublishError
from builder.publish.unfinished import beside


def refuse_filled(out: Path) -> None:
    """Write into no folder that has anything in it.

    :raises PublishError: when it has.
    """
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise PublishError(f"{out} holds something already; allowed: a new or empty folder")


def write_new(files: Mapping[str, bytes], out: Path) -> None:
    """Write ``files`` (path -> bytes) and have them stand in ``out``.

    An empty folder stays the same one, since somebody may work in it.

    :raises PublishError: when the disk refuses.
    """
    target = Path(os.path.realpath(out))
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        there = target.is_dir()
        staged = beside(target / "all" if there else target, "new")
        try:
            for name, data in files.items():
                path = staged / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(data)
            if there:
                _move_up(staged)
            else:
                staged.rename(target)
        finally:
            shutil.rmtree(staged, ignore_errors=True)
    except OSError as fault:
        raise PublishError(f"{out} could not be written: {fault}") from fault


def _move_up(staged: Path) -> None:
    names = [path.name for path in staged.iterdir()]
    try:
        for name in names:
            (staged / name).rename(staged.parent / name)
    except BaseException:  # an interrupt too
        for name in names:
            if not (staged / name).exists():
                (staged.parent / name).rename(staged / name)
        raise
