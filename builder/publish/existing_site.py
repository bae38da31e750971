"""The site that stands in the output folder: whether it is the builder's own, and its released revisions."""

import re
import stat
from collections.abc import Iterable, Iterator
from pathlib import Path

from builder.base.errors import PublishError
from builder.publish import checksums, readme

REVISIONS = "revisions/"
"""Where released revisions stand in a site."""

FROZEN_LIST = re.compile(rf"{REVISIONS}[^/]+/{checksums.NAME}")
SIGNED_LATER = re.compile(rf"{REVISIONS}[1-9][0-9]*\.sig")
"""The signature of a released revision, which may come after the last build."""

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

    :raises PublishError: when one was changed or lost since it was released, is no plain file, or came by itself: who
        carried it over would list it as his own.
    """
    paths = [REVISIONS + path for path in files_below(out / REVISIONS)] if (out / REVISIONS).is_dir() else []
    others = [path for path in paths if not stat.S_ISREG((out / path).lstat().st_mode)]
    if others:
        raise PublishError(f"{out}: released revisions are plain files, but found others: {some(others)}")
    found = {path: checksums.digest_file(out / path) for path in paths}
    of_site = {path: value for path, value in listed_digests(out).items() if path.startswith(REVISIONS)}
    of_revisions = dict(_frozen_lists(out, paths))
    changed = {path for known in (of_site, of_revisions) for path, value in known.items() if found.get(path) != value}
    if changed:
        raise PublishError(
            f"{out}: released files differ from {checksums.NAME}: {some(sorted(changed))}; put them back"
        )
    known = of_site or of_revisions  # a fresh checkout has no list of the site
    strange = [path for path in paths if path not in known and not SIGNED_LATER.fullmatch(path)]
    if strange:
        raise PublishError(f"{out} holds what no release put there: {some(strange)}; move it elsewhere")
    return found


def _frozen_lists(out: Path, paths: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Path and digest of each released file by the list of its own revision, and of these lists themselves."""
    for path in paths:
        if FROZEN_LIST.fullmatch(path):
            data = (out / path).read_bytes()
            yield path, checksums.digest(data)
            yield from (
                (path.removesuffix(checksums.NAME) + name, value) for name, value in checksums.read_sums(data).items()
            )


def some(paths: Iterable[str]) -> str:
    """The first few of ``paths`` and how many there are besides."""
    names = list(paths)
    more = f" and {len(names) - SHOWN} more" if len(names) > SHOWN else ""
    return ", ".join(names[:SHOWN]) + more
