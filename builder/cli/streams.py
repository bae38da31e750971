"""Output that may go away: a pipe nobody reads any more, a full disk, a terminal that is gone.

What a command did does not hang on whether anybody could read of it, and so neither does its status.
"""

import errno
import os
import sys
from io import TextIOWrapper
from pathlib import Path
from typing import Any, TextIO


class LastingStream:
    """A text stream that goes on into nothing once it cannot be written."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self.lost: OSError | None = None
        """Why it cannot be written."""

    def write(self, text: str) -> int:
        """Write it, or lose it."""
        try:
            return self._stream.write(text)
        except OSError as fault:
            self._give_up(fault)
            return len(text)

    def flush(self) -> None:
        """Write what is held back, or lose it."""
        try:
            self._stream.flush()
        except OSError as fault:
            self._give_up(fault)

    def _give_up(self, fault: OSError) -> None:
        if self.lost is None:
            self.lost = fault
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, self._stream.fileno())  # what is held back goes there too, also when the process ends
            os.close(nowhere)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def lasting() -> LastingStream:
    """Make both outputs last; the first one is handed back.

    One that was closed before the command began is opened into nothing, or the next file that is opened would take
    its number and with it what is said.
    """
    for number in (0, 1, 2):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)  # takes the lowest free number
    out, error = (LastingStream(_usable(stream)) for stream in (sys.stdout, sys.stderr))
    sys.stdout, sys.stderr = out, error
    return out


def _usable(stream: TextIO | None) -> TextIO:
    if stream is None:
        return Path(os.devnull).open("w", encoding="utf-8")
    if isinstance(stream, TextIOWrapper) and stream.errors == "strict":
        stream.reconfigure(errors="backslashreplace")  # a terminal of few letters
    return stream


def tell_of_loss(out: LastingStream) -> None:
    """Write what is held back, and say when output was lost, unless whoever read it had enough."""
    out.flush()
    if out.lost is not None and out.lost.errno != errno.EPIPE:
        sys.stderr.write(f"what was to be said could not be written: {out.lost.strerror}\n")
    sys.stderr.flush()
