"""Which code a function of the builder can reach, as one hash: what it made may be kept for as long as that holds."""

import hashlib
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path

from builder.base.shipped import shipped_folder

PACKAGE = Path(__file__).resolve().parents[1]
NAME = PACKAGE.name
IMPORT = re.compile(
    rf"^\s*(?:from\s+({NAME}[\w.]*)\s+import\s+(\([^)]*\)|[^\n]*)|import\s+({NAME}[\w.]*))", re.MULTILINE
)
WORD = re.compile(r"\w+")
READS = dict.fromkeys(("render/templates.py", "load/shipped_yaml.py"), shipped_folder())
"""Module of the builder -> the folder that it reads."""
SHIPPED = ("_templates", "_docs")
"""Folders that a wheel has inside the package, and a checkout beside it."""
SKIPPED = ("__pycache__", ".pyc", ".pyo")


@cache
def sources_digest(module: str) -> str:
    """SHA-256 of the source of a module of the builder and of all that it imports from the builder, at any depth.

    Imports inside functions count as well. Files that are no code count with the package they lie in.

    >>> sources_digest("builder.base.digest") == sources_digest("builder.base.sources")
    False
    """
    return _hashed(reachable_files(module))


@cache
def code_digest() -> str:
    """SHA-256 of the builder's code, tables and templates: the same in a checkout and a wheel."""
    named = {name: path for name, path in _named(PACKAGE) if name.partition("/")[0] not in SHIPPED}
    named |= {f"{SHIPPED[0]}/{name}": path for name, path in _named(shipped_folder())}
    state = hashlib.sha256()
    for name in sorted(named):
        state.update(name.encode() + b"\0" + _hash_of(named[name]))
    return state.hexdigest()


def _named(folder: Path) -> Iterator[tuple[str, Path]]:
    """Every file below a folder by its name there."""
    start = len(folder.as_posix()) + 1
    return ((path.as_posix()[start:], path) for path in _files(folder))


def _hashed(paths: Iterable[Path]) -> str:
    state = hashlib.sha256()
    for path in paths:
        state.update(path.as_posix()[len(PACKAGE.parent.as_posix()) + 1 :].encode() + b"\0" + _hash_of(path))
    return state.hexdigest()


@cache
def _hash_of(path: Path) -> bytes:
    return hashlib.sha256(path.read_bytes()).digest()


def reachable_files(module: str) -> tuple[Path, ...]:
    """The files of a module and of all that it imports from the builder, with the data beside them, by name."""
    seen: set[str] = set()
    waiting = [module]
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            waiting += _imports(name)
    return tuple(sorted({path for name in seen for path in _files_with(name)}, key=Path.as_posix))


@cache
def _files_with(name: str) -> tuple[Path, ...]:
    """The file of a module, the data beside it and what it reads; nothing for what is no module."""
    path = _modules().get(name)
    if path is None:
        return ()
    return path, *_data_beside(path.parent), *_files(READS.get(path.relative_to(PACKAGE).as_posix()))


@cache
def _modules() -> Mapping[str, Path]:
    """Every module of the builder; looked up once, since most names that are imported are none."""
    files = ((f"{NAME}/{name}".removesuffix(".py"), path) for name, path in _named(PACKAGE) if name.endswith(".py"))
    return {name.removesuffix("/__init__").replace("/", "."): path for name, path in files}


@cache
def _imports(name: str) -> tuple[str, ...]:
    """What a module imports from the builder, and the package that it lies in."""
    path = _modules().get(name)
    if path is None:
        return ()
    found = [name.rpartition(".")[0]]
    for match in IMPORT.finditer(path.read_text(encoding="utf-8")):
        origin, names, plain = match.groups()
        found += [origin or plain, *(f"{origin}.{name}" for name in WORD.findall(names or ""))]
    return tuple(found)


@cache
def _data_beside(folder: Path) -> tuple[Path, ...]:
    """Files of a package that are no code, those of folders without code included."""
    found: list[Path] = []
    for path in folder.iterdir():
        if path.name.endswith(SKIPPED):
            continue
        if path.is_file() and path.suffix != ".py":
            found.append(path)
        elif path.is_dir() and path.name not in SHIPPED and not (path / "__init__.py").exists():
            found += _files(path)
    return tuple(found)


@cache
def _files(folder: Path | None) -> tuple[Path, ...]:
    """Every file below a folder, nothing without one."""
    if folder is None or not folder.is_dir():
        return ()
    found: list[Path] = []
    for root, folders, names in os.walk(folder):
        folders[:] = [name for name in folders if not name.endswith(SKIPPED)]
        paths = (Path(root, name) for name in names if not name.endswith(SKIPPED))
        found += (path for path in paths if path.is_file())
    return tuple(found)
