"""The frozen copy of a release: everything that was published, the content it was made from, its own checksums."""

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from builder.base.errors import PublishError
from builder.load.extended import KEPT, Folder, extended_folders
from builder.load.overlay import inherited
from builder.publish import checksums
from builder.publish.existing_site import REVISIONS, files_below, some
from builder.publish.withheld import withheld

SNAPSHOT = "content/"
"""Where the content lies in a frozen copy."""


def snapshot(content: Path) -> dict[str, bytes]:
    """Every file of a content folder, and of those it extends, by its path below it.

    Hidden files and open workbooks are left out, and so are names of people that are not public.

    :raises PublishError: when a file is a symbolic link that leads out of its folder.
    :raises ContentError: when it cannot be told what is extended.
    """
    made: dict[str, bytes] = {}
    for folder in (Folder(content), *extended_folders(content)):
        made |= {folder.copy + name: data for name, data in _files(folder)}
    return withheld(made)


def _files(folder: Folder) -> Iterator[tuple[str, bytes]]:
    root = folder.path.resolve()
    for name in files_below(folder.path):
        if any(part.startswith((".", "~$")) for part in name.split("/")):
            continue
        first = name.partition("/")[0]
        if first == KEPT or (folder.name and not inherited(first)):
            continue
        path = folder.path / name
        if not path.resolve().is_relative_to(root):
            raise PublishError(f"{path} leads out of the content folder; a release keeps a copy of all it is made from")
        yield name, path.read_bytes()


def signers(content: Path) -> dict[str, bytes]:
    """The list of trusted signers, where the content has one."""
    path = content / checksums.SIGNERS
    return {checksums.SIGNERS: path.read_bytes()} if path.is_file() else {}


def frozen_copy(number: int, files: Mapping[str, bytes], content: Mapping[str, bytes]) -> dict[str, bytes]:
    """Path in the site -> bytes of revision ``number``: its site, its content, and the checksums of both."""
    whole = {**files, **{SNAPSHOT + name: data for name, data in content.items()}}
    whole[checksums.NAME] = checksums.write_sums({path: checksums.digest(data) for path, data in whole.items()})
    return {f"{REVISIONS}{number}/{path}": data for path, data in whole.items()}


def refuse_other_bytes(out: Path, number: int, files: Mapping[str, bytes]) -> None:
    """Stop when revision ``number`` was released already with other bytes.

    :param files: path in the site -> bytes of everything that is to be published.
    :raises PublishError: naming what differs.
    """
    folder = out / f"{REVISIONS}{number}"
    if not folder.is_dir():
        return
    prefix = f"{REVISIONS}{number}/"
    frozen = {path: data for path, data in files.items() if path.startswith(prefix)}
    standing = {prefix + path for path in files_below(folder)}
    differ = [
        path.removeprefix(prefix)
        for path in sorted(standing | set(frozen))
        if path not in standing or path not in frozen or (out / path).read_bytes() != frozen[path]
    ]
    if differ:
        raise PublishError(
            f"revision {number} is released and would become another: {some(differ)}; nothing was changed. "
            f"Release the next number, or put the content back as it stands in {prefix}{SNAPSHOT}"
        )


def refuse_unknown(released: Iterable[int], known: Iterable[int]) -> None:
    """Stop when the site holds a release that the content does not tell of.

    :raises PublishError: naming the file to put back.
    """
    for number in sorted(set(released) - set(known)):
        raise PublishError(
            f"the site holds revision {number}, but content has no revisions/{number}.yaml: "
            f"copy {REVISIONS}{number}/{SNAPSHOT}revisions/{number}.yaml of the site there, or build elsewhere"
        )
