"""Processes that lay out documents: each has one warm engine, and none outlives the process that started it."""

import os
import platform
import shutil
import signal
import sys
import tempfile
import threading
import zlib
from collections.abc import Callable
from concurrent.futures import Executor, Future
from contextlib import ExitStack
from functools import cache
from typing import Any, TypeVar

from builder.base.digest import digest
from builder.base.errors import RenderError
from builder.base.gc_pause import gc_frozen, gc_paused
from builder.base.installed import version_of
from builder.render import arabic, fonts, libraries
from builder.render.pdf import PdfEngine, preload

R = TypeVar("R")

LIBRARIES = ("weasyprint", "pydyf", "pikepdf", "tinycss2", "tinyhtml5", "cssselect2", "pyphen", "fonttools", "segno",
             "jinja2", "markupsafe", "babel", "pillow")  # fmt: skip
"""Libraries that decide what a document looks like."""


@cache
def surroundings() -> str:
    """Hash of what decides a document beside its text and our code: machine, Python, libraries, type faces."""
    known = [(name, version_of(name)) for name in LIBRARIES]
    faces = [fonts.face_path(face).read_bytes() for face in (*fonts.FACES, *arabic.FACES)]
    return digest(sys.version, platform.machine(), zlib.ZLIB_RUNTIME_VERSION, known, libraries.drawing(), faces)


# ---- in whatever process does the work ------------------------------------------

_engine: PdfEngine | None = None
_one_at_a_time = threading.Lock()
"""The engine's complaints are heard by process, so threads of one process take turns."""


def perform(
    expected: str, function: Callable[..., R], inputs: tuple[object, ...], kind: type[PdfEngine] = PdfEngine
) -> R:
    """The result of a job.

    :param expected: the surroundings that the result will be kept for.
    :param kind: the engine that the function is given.
    :raises RenderError: where these are others.
    """
    global _engine  # noqa: PLW0603 - one engine a process stays warm between jobs
    if surroundings() != expected:
        raise RenderError("a worker has other versions of the libraries or type faces than the process that asks it")
    with _one_at_a_time:
        if type(_engine) is not kind:
            close_engine()
            _engine = kind()
        with gc_frozen(), gc_paused(then_collect=True):  # only what the job left behind is searched for its garbage
            return function(_engine, *inputs)


def close_engine() -> None:
    """Give back this process's engine, if it has one."""
    global _engine  # noqa: PLW0603 - as in ``perform``
    if _engine is not None:
        _engine.close()
        _engine = None


# ---- processes of our own ----------------------------------------------------------


class InPlace(Executor):
    """Does each piece of work at once, in this process."""

    def submit(self, fn: Callable[..., R], /, *args: Any, **kwargs: Any) -> Future[R]:
        """The result, there already."""
        done: Future[R] = Future()
        try:
            done.set_result(fn(*args, **kwargs))
        except Exception as error:  # noqa: BLE001 - handed on to whoever asks for the result
            done.set_exception(error)
        return done


class Crew:
    """Some processes with an engine each; with one, this process itself."""

    def __init__(self, count: int, *, behind: int = 0) -> None:
        """``behind`` is by how much each steps back where this process wants a processor too, as in nice(1)."""
        self._scratch = ""
        self._held = ExitStack()
        if count <= 1:
            self.executor: Executor = InPlace()
            return
        from concurrent.futures import ProcessPoolExecutor  # noqa: PLC0415 - where there are processes
        from multiprocessing import get_context  # noqa: PLC0415 - as above

        self._scratch = tempfile.mkdtemp(prefix="handbook-")
        forking = "fork" in _methods()
        if forking:
            preload()  # shared by all instead of loaded by each
            self._held.enter_context(gc_frozen())
        self.executor = ProcessPoolExecutor(
            max_workers=count,
            mp_context=get_context("fork" if forking else "spawn"),
            initializer=_begin,
            initargs=(self._scratch, behind),
        )

    def end(self, *, at_once: bool) -> None:
        """Take no more work, end the processes and remove what they left.

        :param at_once: whether to leave undone what they are doing.
        """
        processes = list((getattr(self.executor, "_processes", None) or {}).values()) if at_once else []
        for process in processes:
            process.terminate()
        self.executor.shutdown(wait=True, cancel_futures=True)
        if self._scratch:
            self._held.close()
            shutil.rmtree(self._scratch, ignore_errors=True)


def _methods() -> list[str]:
    import multiprocessing  # noqa: PLC0415 - one question

    return multiprocessing.get_all_start_methods()


def _begin(scratch: str, behind: int) -> None:
    """In a new process: leave the keyboard to the parent, end with it, and put what is temporary where it looks."""
    os.nice(behind)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_DFL)
    tempfile.tempdir = scratch
    threading.Thread(target=_watch, args=(scratch,), daemon=True).start()


def _watch(scratch: str) -> None:
    """End this process when its parent has ended, however that came."""
    from multiprocessing import parent_process  # noqa: PLC0415 - in a process of our own it is loaded
    from multiprocessing.connection import wait  # noqa: PLC0415 - as above

    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        shutil.rmtree(scratch, ignore_errors=True)
        os._exit(1)
