"""Puts a finished folder in the place of another in one step, and mends what a killed build left half done."""

import ctypes
import errno
import os
import shutil
from pathlib import Path

from builder.publish.unfinished import forget, note, noted, sync_folder

AT_FDCWD = -100
RENAME_EXCHANGE = 2
"""Both from Linux's ``fcntl.h`` and ``fs.h``."""

CANNOT_EXCHANGE = {errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP, errno.EPERM}
"""What a kernel or a file system without the exchange answers."""


def recover(out: Path) -> None:
    """Mend what a killed build left: put a site back that was moved aside, and clear half-written folders.

    Call it only while the lock of ``out`` is held, so that no folder of a running build can be met.
    """
    aside = noted(out, "old")
    if aside and not (out.exists() and any(out.iterdir())):
        if out.exists():
            out.rmdir()
        aside.pop().rename(out)
    for path in (*aside, *noted(out, "new")):
        shutil.rmtree(path, ignore_errors=True)
    for kind in ("old", "new"):
        forget(out, kind)


def swap(new: Path, out: Path) -> None:
    """Make ``new`` the folder at ``out``. What stood there is afterwards at ``new``, or gone.

    :raises OSError: when it cannot be done; ``out`` is then what it was.
    """
    if not out.exists():
        new.rename(out)
    elif not exchange(new, out):
        swap_in_two_steps(new, out)
    sync_folder(out.parent)


def exchange(one: Path, other: Path) -> bool:
    """Exchange two folders in one step; ``False`` when this system cannot."""
    call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if call is None:
        return False
    if call(AT_FDCWD, os.fsencode(one), AT_FDCWD, os.fsencode(other), RENAME_EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in CANNOT_EXCHANGE:
        return False
    raise OSError(number, os.strerror(number), str(other))


def swap_in_two_steps(new: Path, out: Path) -> None:
    """The same where no exchange exists; a reader finds no site between its two steps.

    Stopped there it puts the old site back itself; killed there, :func:`recover` does.
    """
    old = note(out, "old")
    try:
        out.rename(old)
        new.rename(out)
    except BaseException:  # an interrupt too
        if not os.path.lexists(out):
            old.rename(out)
        _clear(old, out)
        raise
    _clear(old, out)


def _clear(old: Path, out: Path) -> None:
    shutil.rmtree(old, ignore_errors=True)
    forget(out, "old")
