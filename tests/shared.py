"""Costly things that are made once a run, also where several workers share the tests."""

from __future__ import annotations

import fcntl
import hashlib
import json
import os
import shutil
from contextlib import contextmanager
from functools import cache
from pathlib import Path


@contextmanager
def workshop(jobs=2):
    """Does the work of a build and keeps what it made for the next run of the tests, as the command does for a user.

    Not for tests of whether bytes are the same however they are made: they make them anew.
    """
    from builder.base.store import FileStore
    from builder.render.jobs import Workshop

    store = FileStore(Path(os.environ["HANDBOOK_CACHE"]))
    with Workshop(jobs, store) as shop:
        yield shop
    store.trim()


def built(content, out, day, **others):
    """Build a site with what earlier runs of the tests made."""
    from builder import building

    with workshop() as shop:
        return building.build(content, out, day, shop=shop, **others)


@cache
def judged_once(content, day):
    """A site that is judged once a process: plain records, which no test can change. For sites that lie in the tree."""
    from builder import pipeline

    return pipeline.judge(content, day)


@cache
def composed_once(content, day):
    """The pages, cards and papers of a site, made once a process."""
    from builder import pipeline

    return pipeline.compose(judged_once(content, day))


def told_figures(out):
    """Key -> figure as the files of a site tell it."""
    from builder.history.ledger_files import read_ledger

    return read_ledger(lambda name: (out / name).read_bytes(), str(out)).figures


def digests(folder):
    """Path below ``folder`` -> SHA-256 of its bytes."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def root_of(tmp_path_factory) -> Path:
    """The folder that all workers of this run have in common; each run has another."""
    own = tmp_path_factory.getbasetemp()
    root = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "shared"
    root.mkdir(exist_ok=True)
    return root


def made_once(root: Path, name: str, make) -> Path:
    """The folder ``name`` as ``make(folder)`` filled it: by whoever asks first, while all others wait.

    What is done is told by a file written last, so after an interruption the next to ask makes it anew. The lock is
    the kernel's, which takes it back when its holder dies.
    """
    folder, told = root / name, root / f"{name}.json"
    with (root / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not told.exists():
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            make(folder)
            part = told.with_suffix(".part")
            part.write_text(json.dumps(digests(folder)), encoding="utf-8")
            part.replace(told)
    return folder


def changed(folder: Path) -> list[str]:
    """What is no longer as it was made: a test must change copies only, since others read the same files."""
    was = json.loads(folder.with_name(f"{folder.name}.json").read_text(encoding="utf-8"))
    now = digests(folder)
    return sorted(path for path in was.keys() | now.keys() if was.get(path) != now.get(path))


def computed_with(program, ledger):
    """All that is made of a program, where the ledger is a test's own."""
    from builder.figures.computed import computed_of
    from builder.figures.logbook.book import read_logbook

    return computed_of(program, ledger, read_logbook(program, ledger, ledger.day("handbook.as-of")))
