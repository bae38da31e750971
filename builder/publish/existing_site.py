"""The site that stands in the output folder: whether it is the builder's own, and its released revisions."""

import stat
from collections.abc import Iterable, Iterator
from pathlib import Path

from builder.base.errors import PublishError
from builder.publish import checksums, readme

REVISIONS = "revisions/"
"""Where released revisions stand in a site."""

LITTER = {".DS_Store", "Thumbs.db", "desktop.ini"}
"""Files that systems drop into any folder they show; nobody misses them."""

SHOWN = 5
"""How many paths an error names."""


def files_below(folder: Path) -> list[str]:
    """Every file below ``folder`` as a path relative to it, sorted; a symbolic link counts as a file."""
    return sorted(path.relative_to(folder).as_posix() for path in _walk(folder))


def _walk(folder: Path) -> Iterator[Path]:
    for path in folder.iterdir():
        if path.is_dir() and not path.is_symlink():
            yield from _walk(path)
        elif path.name not in LITTER:
            yield path


def listed_digests(out: Path) -> dict[str, str]:
    """Path -> digest of the last build of ``out``; empty when it has no list, as after a fresh checkout."""
    path = out / checksums.NAME
    return checksums.read_sums(path.read_bytes()) if path.is_file() else {}


def refuse_foreign(out: Path) -> None:
    """Stop before anything is lost that the builder did not put into ``out``.

    :raises PublishError: when ``out`` is no folder, or holds files that no build listed.
    """
    if not out.exists():
        return
    if not out.is_dir():
        raise PublishError(f"{out} is a file; allowed: an empty or new folder, or one built before")
    files = files_below(out)
    if files and not _is_own(out):
        raise PublishError(f"{out} was not made by this builder and holds {some(files)}; choose an empty or new folder")
    known = {*listed_digests(out), checksums.NAME, checksums.SIGNATURE, readme.NAME}
    strange = [path for path in files if path not in known and not path.startswith(REVISIONS)]
    if strange:
        raise PublishError(f"{out} holds what no build put there and would be lost: {some(strange)}; move it elsewhere")


def _is_own(out: Path) -> bool:
    note = out / readme.NAME
    return note.is_file() and note.read_text(encoding="utf-8", errors="replace").startswith(readme.FIRST_LINE + "\n")


def released_digests(out: Path) -> dict[str, str]:
    """Path -> digest of every file of the released revisions in ``out``, as they are on the disk.

    :raises PublishError: when one was changed or lost since the last build, or is no plain file.
    """
    if not (out / REVISIONS).is_dir():
        found = {}
    else:
        paths = [REVISIONS + path for path in files_below(out / REVISIONS)]
        others = [path for path in paths if not stat.S_ISREG((out / path).lstat().st_mode)]
        if others:
            raise PublishError(f"{out}: released revisions are plain files, but found others: {some(others)}")
        found = {path: checksums.digest_file(out / path) for path in paths}
    before = {path: value for path, value in listed_digests(out).items() if path.startswith(REVISIONS)}
    changed = sorted(path for path in before if found.get(path) != before[path])
    if changed:
        raise PublishError(f"{out}: released files differ from {checksums.NAME}: {some(changed)}; put them back")
    return found


def some(paths: Iterable[str]) -> str:
    """The first few of ``paths`` and how many there are besides."""
    names = list(paths)
    more = f" and {len(names) - SHOWN} more" if len(names) > SHOWN else ""
    return ", ".join(names[:SHOWN]) + more
