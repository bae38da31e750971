"""The list of checksums: every listed file is there with its bytes, and nothing else is there."""

import os
import stat
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from builder.base.errors import HandbookError
from builder.history.archive import FOLDER
from builder.publish import checksums
from builder.publish.paths import refusal
from builder.publish.sites import ASSETS, INDEX
from builder.verify.report import Check, Report

KINDS = {stat.S_IFLNK: "a link", stat.S_IFIFO: "a pipe", stat.S_IFSOCK: "a socket", stat.S_IFDIR: "a folder"}
EMPTY = "an empty folder"
UNREAD = "nothing was opened: what is no plain file, as told, must be taken away first"


def check_sums(root: Path, check: Check, prefix: str) -> None:
    """Hold a folder against its list; ``prefix`` is its path below the whole site."""
    try:
        listed = checksums.read_sums((root / checksums.NAME).read_bytes())
    except (OSError, HandbookError) as fault:
        check.expect(False, f"{prefix}{checksums.NAME}", str(fault))
        return
    _hold(root, checksums.NAME, listed, check, prefix, lambda path: _is_signature(root, path))


def verify_sites(root: Path) -> Report:
    """Hold an index over many sites, and every file of each of these, against their lists of checksums."""
    report = Report()
    listed = checksums.read_sums((root / checksums.OF_SITES).read_bytes())
    lists = [path for path in listed if path.endswith(f"/{checksums.NAME}") and not refusal(path)]
    names = [path.removesuffix(f"/{checksums.NAME}") for path in lists]
    inside = tuple(f"{name}/" for name in names)
    check = report.check("checksums of the index")
    _hold(root, checksums.OF_SITES, listed, check, "", lambda path: path.startswith(inside))
    for path in sorted(listed.keys() - lists):
        own = path == INDEX or path.startswith(f"{ASSETS}/")
        check.expect(own, path, "is no file of an index over sites: give the folder of a site alone")
    for name in names:
        check = report.check(f"checksums of {name}")
        check_sums(root / name, check, f"{name}/")
        check.add_note(f"its words and figures: verify {name} alone")
    return report


def _hold(
    root: Path, name: str, listed: Mapping[str, str], check: Check, prefix: str, vouched: Callable[[str], bool]
) -> None:
    """Hold a folder against what its list of that name has; ``vouched`` is what may stand there besides."""
    for path, digest in listed.items():
        wrong = _wrong(root / path, digest) if not refusal(path) else "is no path of a site"
        check.expect(not wrong, f"{prefix}{path}", wrong)
    for path, kind in sorted(entries(root)):
        if path not in listed and path != name and not vouched(path):
            what = f"{kind} that " if kind else ""
            check.expect(False, f"{prefix}{path}", f"{what}is not listed in {name}: nobody vouches for it")


def _wrong(file: Path, digest: str) -> str:
    """What is wrong with a listed file, or nothing."""
    kind = kind_of(file)
    if kind is None:
        return f"is listed in {checksums.NAME}, but missing"
    if kind:
        return f"is {kind}, where a plain file must be"
    try:
        same = checksums.digest_file(file) == digest
    except OSError as fault:
        return f"cannot be read: {fault.strerror}"
    return "" if same else f"is not what {checksums.NAME} lists: it was changed"


def kind_of(path: Path) -> str | None:
    """What stands at a path, in words; empty for a plain file, ``None`` where nothing stands. No link is followed."""
    try:
        mode = path.lstat().st_mode
    except OSError:
        return None
    return "" if stat.S_ISREG(mode) else KINDS.get(stat.S_IFMT(mode), "a device")


def no_files(root: Path) -> list[str]:
    """What stands below a folder and is neither file nor folder: reading it may never end, or leave the folder."""
    return sorted(path for path, kind in entries(root) if kind and kind != EMPTY)


def entries(root: Path) -> Iterator[tuple[str, str]]:
    """(path below ``root``, kind) of all that is no folder, and of folders that hold nothing."""
    for folder, folders, files in os.walk(root):
        links = [name for name in folders if Path(folder, name).is_symlink()]
        for name in (*files, *links):
            path = Path(folder, name)
            yield path.relative_to(root).as_posix(), kind_of(path) or ""
        if not files and not folders and Path(folder) != root:
            yield Path(folder).relative_to(root).as_posix(), EMPTY


def _is_signature(root: Path, path: str) -> bool:
    """Whether it is a signature of a list, which vouches for itself."""
    folder, _, name = path.rpartition("/")
    number = name.removesuffix(".sig")
    return path == checksums.SIGNATURE or (
        folder == FOLDER and name.endswith(".sig") and (root / FOLDER / number / checksums.NAME).is_file()
    )
