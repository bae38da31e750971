"""Costly things that are made once a run, also where several workers share the tests."""

from __future__ import annotations

import fcntl
import hashlib
import json
import os
import shutil
from pathlib import Path


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
