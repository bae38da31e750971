"""Files of a site by path, held on disk beyond a size, since those of a big site are larger than all else in memory."""

from collections.abc import Callable, Iterator, MutableMapping
from tempfile import SpooledTemporaryFile
from typing import IO, Final, cast
from weakref import finalize

IN_MEMORY: Final = 64 * 1024**2
"""Bytes; a site like the demo never leaves the memory."""


class Spool(MutableMapping[str, bytes]):
    """Path -> bytes. What is set anew or deleted keeps its room until the spool is gone."""

    def __init__(self, in_memory: int = IN_MEMORY) -> None:
        self._file = cast("IO[bytes]", SpooledTemporaryFile(in_memory))  # noqa: SIM115 - as below
        finalize(self, self._file.close)
        self._places: dict[str, tuple[int, int] | Callable[[], bytes]] = {}
        self.digests: dict[str, str] = {}
        """Path -> SHA-256 of what is taken from elsewhere only when it is asked for."""
        self._end = 0

    def put_later(self, path: str, digest: str, data: Callable[[], bytes]) -> None:
        """Have ``data`` asked for these bytes, whose SHA-256 is known, when they are wanted."""
        self._places[path] = data
        self.digests[path] = digest

    def __setitem__(self, path: str, data: bytes) -> None:
        self.digests.pop(path, None)
        self._file.seek(self._end)
        self._file.write(data)
        self._places[path] = self._end, len(data)
        self._end += len(data)

    def __getitem__(self, path: str) -> bytes:
        place = self._places[path]
        if callable(place):
            return place()
        start, length = place
        self._file.seek(start)
        return self._file.read(length)

    def __delitem__(self, path: str) -> None:
        del self._places[path]
        self.digests.pop(path, None)

    def __contains__(self, path: object) -> bool:
        return path in self._places

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)
