"""The command of a round, run in a process that is forked from one where everything is loaded.

Loading is a quarter of what a round takes where little changed. The process that is forked from is that of the standard
library, has no threads, and does nothing else; a round ends with its own process and its memory, as any command does.
"""

import os
import runpy
import sys
from collections.abc import Sequence
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory

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
