"""Files of which reading ends: a pipe or a device with the name of a file is not waited for."""

import errno
import stat
from pathlib import Path


def only_plain(path: Path) -> Path:
    """The path itself, when a plain file stands there.

    :raises OSError: when something else does, or nothing.
    """
    if not stat.S_ISREG(path.stat().st_mode):
        raise OSError(errno.EINVAL, "no plain file, but a folder, a pipe or a device", str(path))
    return path


def plain_bytes(path: Path) -> bytes:
    """All of a plain file.

    :raises OSError: as ``only_plain``, and when it cannot be read.
    """
    return only_plain(path).read_bytes()
