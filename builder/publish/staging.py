"""Puts a finished site in place: written beside the old one, checked, listed, then swapped in as a whole.

Whatever happens on the way (a fault in the content, a full disk, a killed process), readers keep the old site whole.
"""

import os
import shutil
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, nullcontext, suppress
from functools import partial
from pathlib import Path
from typing import TypeAlias

from builder.base.errors import PublishError
from builder.base.record import dataclass
from builder.base.spool import Spool
from builder.load.extended import content_folders
from builder.publish import checksums, readme
from builder.publish.atomic_replace import recover, swap
from builder.publish.existing_site import REVISIONS, listed_digests, refuse_foreign, released_digests
from builder.publish.lock import only_build
from builder.publish.paths import PathBook
from builder.publish.unfinished import beside, forget, note, sync_folder

FILE_MODE = 0o644
FOLDER_MODE = 0o755
Files: TypeAlias = Mapping[str, bytes] | Iterable[tuple[str, bytes]]
"""Path -> bytes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishReport:
    """What was put in place."""

    out: Path
    """The folder that holds the site, symbolic links resolved."""
    files: int
    """How many files the site has, with its note and its list of checksums."""
    size: int
    """Bytes of the files made by this build; released revisions are not made again."""
    carried: int
    """How many files of released revisions were carried over as they were."""
    digest: str
    """SHA-256 of the list of checksums: equal for two builds exactly when their sites are equal."""


@contextmanager
def reserved(out: Path, content: Path) -> Iterator[None]:
    """Hold ``out`` for one build, and refuse at once what could not be published in the end.

    :raises PublishError: when ``out`` is not the builder's to replace, holds the content or lies in it, cannot be
        written, or another build is writing it.
    """
    target = Path(os.path.realpath(out))
    if target == target.parent:
        raise PublishError(f"{target} is the root of a file system; allowed: a folder for the site alone")
    for folder in content_folders(content)[0]:
        source = Path(os.path.realpath(folder.path))
        if target.is_relative_to(source) or source.is_relative_to(target):
            raise PublishError(f"{out} and the content {folder.path} lie in each other; allowed: folders apart")
    with _disk(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with suppress(FileNotFoundError):
            os.lstat(beside(target, "release"))  # the longest name that is ever made of it
    with only_build(target):
        with _disk(target):
            recover(target)
            refuse_foreign(target)
        yield


def publish(files: Files, out: Path, *, held: bool = False) -> PublishReport:
    """Make ``files`` (path -> bytes) the site at ``out``, with its note, its checksums and its released revisions.

    A released revision in ``out`` is carried over untouched; ``files`` may add a new one below ``revisions/``.
    An error raised while ``files`` is read passes through. Whatever stops it once the new site stands says so in a
    note of the exception.

    :param held: whether the caller holds ``out`` already, see :func:`reserved`.
    :raises PublishError: when ``out`` is not the builder's to replace, another build is writing it, a path cannot
        stand in a site, a released revision would change, or the disk refuses. The old site is untouched.
    """
    target = Path(os.path.realpath(out))
    with _disk(target):
        target.parent.mkdir(parents=True, exist_ok=True)
    with nullcontext() if held else only_build(target), standing(target):
        with _disk(target):
            recover(target)
            refuse_foreign(target)
            staged = note(target, "new")
        try:
            with _disk(target):
                staged.mkdir()
            report = _stage(files, target, staged)
            with _disk(target):
                _put_in_place(staged, target)
        finally:
            _clear(staged, target)  # the old site, or what there is of the new one
    return report


def _clear(staged: Path, target: Path) -> None:
    shutil.rmtree(staged, ignore_errors=True)
    with suppress(OSError):
        forget(target, "new")


def _put_in_place(staged: Path, target: Path) -> None:
    """Swap the sites."""
    before = _identity(target)
    try:
        swap(staged, target)
    except OSError as stop:
        if _identity(target) in (None, before):
            raise
        raise PublishError(f"{target} holds the new site, but the disk may lose it: {stop}") from stop


@contextmanager
def standing(out: Path) -> Iterator[None]:
    """Whatever stops what is done within is told in a note when another site than before stands at ``out``."""
    before = _identity(out)
    try:
        yield
    except BaseException as stop:
        if _identity(out) not in (None, before):
            stop.add_note(f"the new site stands in {os.path.realpath(out)}")
        raise


def _identity(out: Path) -> tuple[int, int] | None:
    """What tells the folder at a place from any other one there is."""
    try:
        state = out.stat()
    except OSError:
        return None
    return state.st_dev, state.st_ino


def _each(files: Files) -> Iterator[tuple[str, str, Callable[[], bytes]]]:
    """Path, digest where it is known, and what gives the bytes: of what stands in the old site nothing is read."""
    if not isinstance(files, Spool):
        pairs = files.items() if isinstance(files, Mapping) else files
        yield from ((path, "", partial(bytes, data)) for path, data in pairs)
        return
    for path in files:
        known = files.digests.get(path, "")
        yield path, known, partial(files.__getitem__, path) if known else partial(bytes, files[path])


def _stage(files: Files, out: Path, staged: Path) -> PublishReport:
    """Write the whole site into ``staged`` and have it reach the disk."""
    with _disk(out):
        frozen, before = released_digests(out), listed_digests(out)
    book = PathBook()
    for path in (checksums.NAME, readme.NAME, *frozen):
        book.take(path)
    note = readme.TEXT.encode()
    digests = {readme.NAME: checksums.digest(note)}
    size = len(note)
    written: list[Path] = []
    for path, known, read in _each(files):
        value = known or checksums.digest(read())
        if _is_frozen(path, value, frozen):
            continue
        book.take(path)
        digests[path] = value
        with _disk(out):
            kept = _kept(out / path, staged / path, value) if before.get(path) == value else None
        if kept is None:
            whole = read()
            digests[path] = checksums.digest(whole) if known else value
            with _disk(out):
                _write(staged / path, whole)
            written.append(staged / path)
        size += len(whole) if kept is None else kept
    sums = checksums.write_sums(digests | frozen)
    with _disk(out):
        for path, data in ((readme.NAME, note), (checksums.NAME, sums)):
            _write(staged / path, data)
            written.append(staged / path)
        written += [staged / path for path in frozen if not _linked(out / path, staged / path)]
        _settle(staged, written)
    return PublishReport(
        out=out,
        files=len(digests) + len(frozen) + 1,
        size=size + len(sums),
        carried=len(frozen),
        digest=checksums.digest(sums),
    )


def _is_frozen(path: str, digest: str, frozen: Mapping[str, str]) -> bool:
    """Whether ``path`` is part of a released revision already, with the same bytes.

    :raises PublishError: when it would change or add to a revision that was released.
    """
    if frozen.get(path) == digest:
        return True
    if path.startswith(REVISIONS):
        revision = "/".join(path.split("/")[:2]) + "/"
        if any(known.startswith(revision) for known in frozen):
            raise PublishError(
                f"{path} would change {revision}, which is released and never changes; release a new one"
            )
    return False


def _write(path: Path, data: bytes) -> None:
    _in_its_folder(path, lambda: path.write_bytes(data))
    path.chmod(FILE_MODE)


def _in_its_folder(path: Path, put: Callable[[], object]) -> None:
    """Put a file there; its folder is made for the first."""
    try:
        put()
    except FileNotFoundError:
        path.parent.mkdir(parents=True, exist_ok=True)
        put()


def _kept(old: Path, new: Path, digest: str) -> int | None:
    """Bytes of the file of the old site that was given to the new one as it is, since it is still the same."""
    try:
        state = old.lstat()
        same = state.st_mode == stat.S_IFREG | FILE_MODE and checksums.digest(old.read_bytes()) == digest
    except OSError:
        return None
    return state.st_size if same and _linked(old, new, or_copied=False) else None


def _linked(old: Path, new: Path, *, or_copied: bool = True) -> bool:
    """Whether the same file has a second name now; where the file system has no such links, it is a copy if wanted."""
    try:
        _in_its_folder(new, lambda: os.link(old, new))
    except OSError:
        if or_copied:
            _in_its_folder(new, lambda: shutil.copy2(old, new))
        return False
    return True


def _settle(staged: Path, written: Iterable[Path]) -> None:
    """Give every folder its mode and have new files and all names reach the disk before the swap."""
    for path in written:
        _sync_file(path)
    for root, _, _ in os.walk(staged, topdown=False):
        Path(root).chmod(FOLDER_MODE)
        sync_folder(Path(root))


def _sync_file(path: Path) -> None:
    with suppress(PermissionError), path.open("r+b") as stream:  # a read-only released file is on the disk already
        os.fsync(stream.fileno())


@contextmanager
def _disk(out: Path) -> Iterator[None]:
    """Turn a refusal by the file system into the error that says that the old site still stands."""
    try:
        yield
    except OSError as fault:
        raise PublishError(f"{out} could not be written, what was published before is untouched: {fault}") from fault
