"""What was made before, kept by the hash of what it was made from; it may be deleted or shared at any time.

Each entry is a file that begins with the hash of the rest, so a spoiled one is seen and made anew. Entries are written
beside their place and moved into it, so that several builds, also of several machines, share a folder without locks.
"""

import hashlib
import os
import secrets
from contextlib import suppress
from pathlib import Path
from typing import Protocol

from builder.base.plain_file import plain_bytes

APP = "detector-handbook"
LAYOUT = "1"
"""Form of the entries; another one does not read these."""
MOST_BYTES = 2 * 1024**3
KEPT_SHARE = 0.8
"""Down to this part of the most that may be kept, so that not every build has to remove something."""
DIGEST_BYTES = 32
FOLDERS = 256
"""Entries lie in so many folders by their hash, so that any of them holds about the same part of all."""
LOOKED_AT = 0.5
"""Only where one folder tells of more than this part of the most that may be kept are all entries looked at."""
LEFT_OVER_SECONDS = 24 * 3600
"""A half-written entry this old belongs to a build that was killed."""


class Store(Protocol):
    """Where results are kept."""

    def get(self, key: str) -> bytes | None:
        """What is kept under ``key``, or ``None``."""

    def put(self, key: str, data: bytes) -> None:
        """Keep ``data``; whoever cannot keep it says nothing, since it can always be made again."""


class NoStore:
    """Keeps nothing."""

    def get(self, key: str) -> bytes | None:  # noqa: ARG002 - the form of a store
        """Nothing, ever."""
        return None

    def put(self, key: str, data: bytes) -> None:
        """Forget it."""


class FileStore:
    """Keeps results as files below one folder."""

    def __init__(self, folder: Path, most_bytes: int = MOST_BYTES) -> None:
        """``most_bytes`` is what it may hold after ``trim``; the least recently used goes first."""
        self._folder = folder / LAYOUT
        self._most = most_bytes
        self._written: Path | None = None
        """The folder of the latest entry."""

    def get(self, key: str) -> bytes | None:
        """What is kept under ``key``, checked by its hash; a spoiled entry is removed and counts as not there."""
        path = self._path(key)
        try:
            whole = plain_bytes(path)
        except OSError:
            return None
        data = whole[DIGEST_BYTES:]
        if hashlib.sha256(key.encode() + data).digest() != whole[:DIGEST_BYTES]:
            with suppress(OSError):
                path.unlink()
            return None
        with suppress(OSError):
            os.utime(path)
        return data

    def put(self, key: str, data: bytes) -> None:
        """Keep ``data`` under ``key``; a full or read-only disk only means that it is made again next time."""
        path = self._path(key)
        with suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True)
            part = path.with_name(f".{secrets.token_hex(8)}.part")
            try:
                with part.open("xb") as half:  # not by tempfile, whose files only their owner may read
                    half.write(hashlib.sha256(key.encode() + data).digest())
                    half.write(data)
                os.replace(part, path)  # noqa: PTH105 - the same, without making a path
                self._written = path.parent
            except OSError:
                part.unlink(missing_ok=True)
                raise

    def trim(self) -> None:
        """Remove the least recently used entries until the rest is well below the most that may be kept.

        Where nothing was kept there is no more than before; each build that keeps something asks another folder.
        """
        if self._written is None or _size(self._written) * FOLDERS <= self._most * LOOKED_AT:
            return
        entries = sorted(self._entries())
        total = sum(size for _, size, _ in entries)
        if total <= self._most:
            return
        for _, size, path in entries:
            if total <= self._most * KEPT_SHARE:
                break
            with suppress(OSError):
                path.unlink()
            total -= size

    def _entries(self) -> list[tuple[float, int, Path]]:
        """(last use, bytes, path) of each entry; what a killed build left half-written is removed in passing."""
        found: list[tuple[float, int, Path]] = []
        newest = 0.0
        parts: list[tuple[float, Path]] = []
        for root, _, names in os.walk(self._folder):
            for name in names:
                path = Path(root, name)
                with suppress(OSError):
                    stat = path.stat()
                    newest = max(newest, stat.st_mtime)
                    if name.endswith(".part"):
                        parts.append((stat.st_mtime, path))
                    else:
                        found.append((stat.st_mtime, stat.st_size, path))
        for used, path in parts:
            if newest - used > LEFT_OVER_SECONDS:
                path.unlink(missing_ok=True)
        return found

    def _path(self, key: str) -> Path:
        return self._folder / key[:2] / key[2:]


def _size(folder: Path) -> int:
    """Bytes of the files in a folder; of one that vanishes what was seen."""
    total = 0
    with suppress(OSError), os.scandir(folder) as found:
        for entry in found:
            total += entry.stat().st_size
    return total


def usual_folder() -> Path:
    """Where a user's programs keep what can be made again."""
    from platformdirs import user_cache_path  # noqa: PLC0415 - only a build asks

    return user_cache_path(APP, appauthor=False)
