"""Rounds of a preview: each is one ordinary build in a process of its own, and what it said.

It is forked from one where everything is loaded, since loading is a quarter of what a round takes where little changed.
The process that is forked from is that of the standard library, has no threads, and does nothing else; a round ends
with its own process and its memory, as any command does.
"""

import json
import os
import runpy
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory

from builder.base.digest import digest
from builder.load.extended import content_folders

LOADED = "builder.preview.loaded"


def command(arguments: Sequence[str]) -> tuple[int, str, str]:
    """Run ``handbook`` with these arguments: status, what it printed, and its complaints."""
    context = get_context("forkserver")
    context.set_forkserver_preload([LOADED])
    with TemporaryDirectory(prefix="handbook-") as folder:
        said, complained = Path(folder, "out"), Path(folder, "err")
        process = context.Process(target=_round, args=(tuple(arguments), said, complained))
        process.start()
        try:
            process.join()
        finally:
            process.terminate()  # where nobody waits for it any more
            process.join()
        return process.exitcode or 0, _text(said), _text(complained)


def _text(path: Path) -> str:
    return path.read_text("utf-8", "replace") if path.exists() else ""


def _round(arguments: tuple[str, ...], said: Path, complained: Path) -> None:
    for number, path in ((1, said), (2, complained)):
        written = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        os.dup2(written, number)
        os.close(written)
    sys.argv[1:] = arguments
    runpy.run_module("builder", run_name="__main__")


SETTLED_MS = 150
"""An editor writes a file in several steps; a round begins when none came for so long."""


LOOKED_FOR_MS = 1000
"""How often an extended folder that is not there is looked for."""


class Rounds:
    """What the latest round came to, read by the server while another runs."""

    def __init__(self, arguments: list[str]) -> None:
        """``arguments`` are those of the build that each round runs."""
        self._arguments = arguments
        self._lock = threading.Lock()
        self._good = 0
        self._fault = ""
        self._busy = False

    def run(self) -> tuple[bool, str, float]:
        """One build: whether the site is new, what was said, seconds. What was built before stays when it fails."""
        with self._lock:
            self._busy = True
        begun = time.monotonic()
        status, printed, complaints = command(self._arguments)
        said = "\n".join(line for line in (complaints if status else printed).splitlines() if not line.endswith(" ..."))
        with self._lock:
            self._busy = False
            self._fault = said if status else ""
            self._good += not status
        return not status, said, time.monotonic() - begun

    def state(self) -> bytes:
        """As JSON: ``site`` counts the sites put in place, ``fault`` is why the latest round failed, ``busy``."""
        with self._lock:
            return json.dumps({"site": self._good, "fault": self._fault, "busy": self._busy}).encode()


def changes(content: Path) -> Iterator[int]:
    """How many files changed, each time that some did and the writing of them has settled; of extended folders too."""
    from watchfiles import watch  # noqa: PLC0415 - only a preview watches

    while True:
        row = content_folders(content)
        folders = [folder.path for folder in row[0]]
        lacking = bool(row[1])  # a folder that is not there cannot be watched, so it is looked for
        for found in watch(
            *folders, step=SETTLED_MS, rust_timeout=LOOKED_FOR_MS, yield_on_timeout=lacking, raise_interrupt=True
        ):
            other = folders != [folder.path for folder in content_folders(content)[0]]
            if found or other:
                yield len(found) or 1
            if other:
                break


def draft_folder(cache: Path, content: Path) -> Path:
    """Where the draft of a content folder is kept between previews: apart from any site that was published."""
    return cache / "previews" / digest("preview", content.resolve().as_posix())[:16]
