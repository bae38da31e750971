"""Puts a finished folder in the place of another in one step, and mends what a killed build left half done."""

from __future__ import annotations

import ctypes
import errno
import os
import re
import secrets
import shutil
import sys
from pathlib import Path

AT_FDCWD = -100
RENAME_EXCHANGE = 2
"""Both from Linux's ``fcntl.h`` and ``fs.h``."""

CANNOT_EXCHANGE = {errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP, errno.EPERM}
"""What a kernel or a file system without the exchange answers."""


def beside(out: Path, kind: str) -> Path:
    """A name beside ``out``, on the same file system, that nothing has yet: ``site.new-0f3a...``."""
    return out.with_name(f"{out.name}.{kind}-{secrets.token_hex(8)}")


def leftovers(out: Path, kind: str) -> list[Path]:
    """The folders that earlier builds of ``out`` named through :func:`beside`, sorted."""
    form = re.compile(rf"{re.escape(out.name)}\.{kind}-[0-9a-f]{{16}}")
    return sorted(path for path in out.parent.iterdir() if form.fullmatch(path.name) and path.is_dir())


def recover(out: Path) -> None:
    """Mend what a killed build left: put a site back that was moved aside, and clear half-written folders.

    Call it only while the lock of ``out`` is held, so that no folder of a running build can be met.
    """
    aside = leftovers(out, "old")
    if aside and not (out.exists() and any(out.iterdir())):
        if out.exists():
            out.rmdir()
        aside.pop().rename(out)
    for path in (*aside, *leftovers(out, "new")):
        shutil.rmtree(path, ignore_errors=True)


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
    if os.name == "nt":  # has no C library to ask
        return False
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
    """The same where no exchange exists; killed between its two steps, :func:`recover` puts the old site back."""
    old = beside(out, "old")
    out.rename(old)
    try:
        new.rename(out)
    except OSError:
        old.rename(out)
        raise
    shutil.rmtree(old, ignore_errors=True)


def sync_folder(folder: Path) -> None:
    """Have the names in ``folder`` written to the disk; Windows does so by itself and cannot be asked."""
    if sys.platform != "win32":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
