"""Which code a function of the builder can reach, as one hash: what it made may be kept for as long as that holds."""

import hashlib
import os
import re
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path

from builder.base.shipped import shipped_folder

PACKAGE = Path(__file__).resolve().parents[1]
NAME = PACKAGE.name
FOLDER = PACKAGE.as_posix()
ABOVE = len(FOLDER) - len(NAME)
"""Signs of a path of the package before its name."""
FROM = re.compile(rb"from (%b[\w.]*) import (\([^)]*\)|[^\n]*)" % NAME.encode())
WHOLE = re.compile(rb"import (%b[\w.]*)" % NAME.encode())
"""Both begin with what is looked for, which takes a fifth of the time; what a text says of an import counts as well."""
WORD = re.compile(rb"\w+")
READS = dict.fromkeys(("render/templates.py", "load/shipped_yaml.py"), shipped_folder().as_posix())
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
    return _hashed((path[ABOVE:], path) for path in _reachable(module))


@cache
def code_digest() -> str:
    """SHA-256 of the builder's code, tables and templates: the same in a checkout and a wheel."""
    named = {name: path for name, path in _named(FOLDER) if name.partition("/")[0] not in SHIPPED}
    named |= {f"{SHIPPED[0]}/{name}": path for name, path in _named(shipped_folder().as_posix())}
    return _hashed(sorted(named.items()))


def _named(folder: str) -> list[tuple[str, str]]:
    """Every file below a folder by its name there."""
    return [(path[len(folder) + 1 :], path) for path in _files(folder)]


def _hashed(files: Iterable[tuple[str, str]]) -> str:
    state = hashlib.sha256()
    for name, path in files:
        state.update(name.encode() + b"\0" + _hash_of(path))
    return state.hexdigest()


@cache
def _hash_of(path: str) -> bytes:
    return hashlib.sha256(_bytes_of(path)).digest()


def _bytes_of(path: str) -> bytes:
    with open(path, "rb", buffering=0) as file:  # noqa: PTH123 - some thousand times, and without making a path
        return file.read()


def reachable_files(module: str) -> tuple[Path, ...]:
    """The files of a module and of all that it imports from the builder, with the data beside them, by name."""
    return tuple(map(Path, _reachable(module)))


def _reachable(module: str) -> list[str]:
    seen: set[str] = set()
    waiting = [module]
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            waiting += _imports(name)
    return sorted({path for name in seen for path in _files_with(name)})


@cache
def _files_with(name: str) -> tuple[str, ...]:
    """The file of a module, the data beside it and what it reads; nothing for what is no module."""
    path = _modules().get(name)
    if path is None:
        return ()
    return path, *_data_beside(path.rpartition("/")[0]), *_files(READS.get(path[len(FOLDER) + 1 :], ""))


@cache
def _modules() -> Mapping[str, str]:
    """Every module of the builder; looked up once, since most names that are imported are none."""
    files = ((f"{NAME}/{name}".removesuffix(".py"), path) for name, path in _named(FOLDER) if name.endswith(".py"))
    return {name.removesuffix("/__init__").replace("/", "."): path for name, path in files}


@cache
def _imports(name: str) -> tuple[str, ...]:
    """What a module imports from the builder, and the package that it lies in."""
    path = _modules().get(name)
    if path is None:
        return ()
    code = _bytes_of(path)
    found = [name.rpartition(".")[0], *map(bytes.decode, WHOLE.findall(code))]
    for origin, names in FROM.findall(code):
        found += [origin.decode(), *(f"{origin.decode()}.{name.decode()}" for name in WORD.findall(names))]
    return tuple(found)


@cache
def _data_beside(folder: str) -> tuple[str, ...]:
    """Files of a package that are no code, those of folders without code included."""
    found: list[str] = []
    for entry in _entries(folder):
        if entry.is_file():
            found += () if entry.name.endswith(".py") else (entry.path,)
        elif entry.name not in SHIPPED and f"{entry.path}/__init__.py" not in _files(entry.path):
            found += _files(entry.path)
    return tuple(found)


@cache
def _files(folder: str) -> tuple[str, ...]:
    """Every file below a folder, nothing without one."""
    found: list[str] = []
    for entry in _entries(folder) if folder else ():
        if entry.is_file():
            found.append(entry.path)
        elif entry.is_dir():
            found += _files(entry.path)
    return tuple(found)


def _entries(folder: str) -> list[os.DirEntry[str]]:
    with os.scandir(folder) as entries:
        return [entry for entry in entries if not entry.name.endswith(SKIPPED)]
