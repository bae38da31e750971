"""One build at a time for one output folder, across processes; a killed build leaves nothing locked."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from builder.base.errors import PublishError

if sys.platform == "win32":
    import msvcrt

    def _try_lock(handle: int) -> None:
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

    def _unlock(handle: int) -> None:
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)
else:
    import fcntl

    def _try_lock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)

    def _unlock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)


@contextmanager
def only_build(out: Path) -> Iterator[None]:
    """Hold the lock of ``out`` (a file beside it) for as long as the block runs.

    :raises PublishError: when another process holds it.
    """
    path = out.with_name(f"{out.name}.lock")
    handle = _acquire(path, out)
    try:
        yield
    finally:
        with suppress(OSError):  # Windows keeps an open file; the next build locks it again
            path.unlink(missing_ok=True)
        _unlock(handle)  # said outright: worker processes may have inherited the handle
        os.close(handle)


def _acquire(path: Path, out: Path) -> int:
    """The locked handle; tries again when the holder before us took the file away while we waited to open it."""
    while True:
        try:
            handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
        except OSError as fault:
            raise PublishError(f"{out} cannot be written here: {fault}") from fault
        try:
            _try_lock(handle)
        except OSError as fault:
            os.close(handle)
            raise PublishError(f"another build is writing {out}; wait until it has ended, then build again") from fault
        if _names(path, handle):
            return handle
        os.close(handle)


def _names(path: Path, handle: int) -> bool:
    """Whether ``path`` is still the file that ``handle`` has open."""
    try:
        return os.path.samestat(path.stat(), os.fstat(handle))
    except FileNotFoundError:
        return False
