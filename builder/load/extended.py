"""Which folders a content folder extends: its company's, its region's; nearest first, each told as it is reached.

A value from ``../company`` is told as ``../company/setpoints.yaml:12``, wherever the folder really lies: a release
keeps copies in ``extended/``, which are read in its place and say the same.
"""

import posixpath
import re
from pathlib import Path

from builder.base.errors import ContentError, Problem
from builder.base.fault_kinds import Kind
from builder.base.record import dataclass
from builder.base.where import Where
from builder.load.nodes import Entries, Scalar

SITE = "site.yaml"
KEY = "extends"
KEPT = "extended"
"""Folder of a content folder that a release kept: in it copies of all that was extended."""
MOST = 4
"""Folders in a row: the site's own and three that it builds upon."""
FORM = re.compile(r"(\.\./){1,3}([A-Za-z0-9][A-Za-z0-9._-]*)(/[A-Za-z0-9][A-Za-z0-9._-]*){0,3}/?")
ALLOWED = "a folder beside this one, at most three folders up, as in ../company"
BIGGEST = 1_000_000


@dataclass(frozen=True, slots=True)
class Folder:
    """One folder of a row."""

    path: Path
    """Where it is read."""
    name: str = ""
    """How the site's own folder reaches it, as in ``../company``; empty for that folder itself."""

    def told(self, file: str) -> str:
        """How a file of it is told."""
        return f"{self.name}/{file}" if self.name else file

    @property
    def copy(self) -> str:
        """Where a release keeps it below its content; empty for the site's own folder."""
        return f"{KEPT}/{posixpath.basename(self.name)}/" if self.name else ""


def content_folders(root: Path) -> tuple[tuple[Folder, ...], tuple[Problem, ...]]:
    """The folder itself and all that it extends, nearest first, and what is wrong with the row; it ends there."""
    made = [Folder(root)]
    while (asked := _asked(made[-1])) is not None:
        fault, found = _next(made, asked)
        if fault or found is None:
            return tuple(made), (Problem(asked.where, f"{KEY}: {asked.text!r} {fault}", ALLOWED, kind=Kind.EXTENDED),)
        made.append(found)
    return tuple(made), ()


def extended_folders(root: Path) -> tuple[Folder, ...]:
    """All that a content folder extends, nearest first.

    :raises ContentError: where that cannot be told.
    """
    folders, problems = content_folders(root)
    if problems:
        raise ContentError(problems)
    return folders[1:]


def fault_of(root: Path, asked: str) -> str:
    """What is wrong with what a content folder that is still to be written is to extend; nothing where all is well."""
    fault, _ = _next([Folder(root)], Scalar(asked, Where(SITE, 1)))
    return f"{asked!r} {fault}; allowed: {ALLOWED}" if fault else ""


def refuse_kept(root: Path) -> None:
    """Stop where somebody put the copies of a release back: changes of what they are copies of would not be seen.

    :raises ContentError: naming the folder, unless it stands where the release kept it.
    """
    if (root / KEPT).is_dir() and not (root.resolve().parent / "SHA256SUMS").is_file():
        found = "copies that a release kept of the folders that this one extends"
        allowed = f"no folder {KEPT}, so that those folders are read"
        raise ContentError([Problem(Where(KEPT, 1), found, allowed, kind=Kind.EXTENDED)])


def _asked(folder: Folder) -> Scalar | None:
    """What a folder extends, where it says so; a file that cannot be read is told by who reads all of it."""
    path = folder.path / SITE
    try:
        if not path.is_file() or path.stat().st_size > BIGGEST:  # nobody waits for what a pipe will say
            return None
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return None
    if KEY not in text:
        return None
    from builder.load.yaml_lines import readable_yaml  # noqa: PLC0415 - most content extends nothing

    node, _ = readable_yaml(text, folder.told(SITE))
    asked = node.get(KEY) if isinstance(node, Entries) else None
    return asked if isinstance(asked, Scalar) and asked.text else None


def _next(row: list[Folder], asked: Scalar) -> tuple[str, Folder | None]:
    """What is wrong with what the last folder of a row extends, or that folder."""
    root, last = row[0].path, row[-1]
    if not FORM.fullmatch(asked.text):
        return "is no such path", None
    if len(row) == MOST:
        return f"is one folder too many: {', '.join(folder.name or '.' for folder in row)}", None
    name = posixpath.normpath(posixpath.join(last.name, asked.text))
    kept = root / KEPT
    path = kept / posixpath.basename(name) if kept.is_dir() else Path(posixpath.normpath(root.resolve() / name))
    if not path.is_dir():
        return "is no folder", None
    real = path.resolve()
    if real != (kept.resolve() / path.name if kept.is_dir() else path):
        return "leads over a symbolic link", None
    return _fault(row, name, real, kept=kept.is_dir()), Folder(path, name)


def _fault(row: list[Folder], name: str, real: Path, *, kept: bool) -> str:
    earlier = next((folder for folder in row if folder.path.resolve() == real), None)
    if earlier is not None:
        return f"goes round in a circle: {' -> '.join([*(folder.name or '.' for folder in row), earlier.name or '.'])}"
    if any(posixpath.basename(folder.name) == posixpath.basename(name) for folder in row):
        return "has the name of a folder that is extended already"
    for folder in row if not kept else ():
        own = folder.path.resolve()
        if own.is_relative_to(real) or real.is_relative_to(own):
            return f"and {folder.name or 'the content'} lie in each other"
    return ""


def site_folders(above: Path) -> tuple[Path, ...]:
    """The sites right below a folder, in order of their names: each folder with a site.yaml.

    One that others extend and that has no inventory is no site of its own; one that lacks its inventory and is extended
    by nobody is a broken site, and no folder to pass over.
    """
    found = [path for path in sorted(above.iterdir()) if (path / SITE).is_file() and not path.name.startswith(".")]
    extended = {folder.path.resolve() for path in found for folder in content_folders(path)[0][1:]}
    return tuple(path for path in found if path.resolve() not in extended or any(path.glob("inventory.*")))
