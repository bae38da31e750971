"""Whether a build would only make again what stands there: asked before anything heavy is loaded."""

import json
import os
from collections.abc import Iterator
from contextlib import suppress
from datetime import date
from pathlib import Path

from builder.base.digest import digest
from builder.base.errors import PublishError
from builder.base.plain_file import plain_bytes
from builder.base.store import Store
from builder.load.extended import content_folders
from builder.publish import checksums, readme
from builder.publish.existing_site import files_below
from builder.publish.versions import versions
from builder.render.fonts import FACES, face_path
from builder.render.libraries import drawing


def request_key(content: Path, out: Path, as_of: date, *, release: bool) -> str:
    """Hash of all that decides a build, or nothing where that cannot be told without building.

    Content, day and flags; the builder's own files; versions of the libraries it draws with; where the site goes.
    """
    judged = content_key(content, as_of)
    if not judged or not drawing():
        return ""
    try:
        faces = [checksums.digest_file(face_path(face)) for face in FACES]
    except OSError:
        return ""
    return digest("request", judged, os.path.realpath(out), release, faces)


def content_key(content: Path, as_of: date) -> str:
    """Hash of all that decides figures and findings, or nothing where it has none.

    Content and what it extends, day, builder and libraries.
    """
    if not content.is_dir():
        return ""
    try:
        folders = [(folder.name, list(_content(folder.path))) for folder in content_folders(content)[0]]
        return digest("content", folders, as_of, versions())
    except OSError:
        return ""


def _content(content: Path) -> Iterator[tuple[str, str]]:
    """(path, hash) of every file of the content.

    :raises OSError: for what is no file, such as a pipe, for linked folders, which may go round in a circle, and for
        what cannot be read.
    """
    for root, folders, names in os.walk(content, onerror=_refuse):
        folders.sort()
        if any(Path(root, name).is_symlink() for name in folders):
            raise OSError(f"{root} holds linked folders")
        for name in sorted(names):
            path = Path(root, name)
            if not path.is_file():
                raise OSError(f"{path} is no file")
            yield path.relative_to(content).as_posix(), checksums.digest_file(path)


def _refuse(fault: OSError) -> None:
    raise fault


def remember(store: Store, key: str, out: Path, said: str) -> None:
    """Keep what a build of ``key`` put in place, and what was said of it."""
    with suppress(OSError):
        store.put(key, json.dumps([checksums.digest_file(out / checksums.NAME), said]).encode())


def said_before(store: Store, key: str, out: Path) -> str:
    """What was said when ``key`` was built, if the very site of that build stands whole in ``out``; else nothing."""
    kept = store.get(key) if key else None
    if kept is None:
        return ""
    try:
        listed, said = json.loads(kept)
        data = plain_bytes(out / checksums.NAME)
        whole = checksums.digest(data) == listed and _whole(out, checksums.read_sums(data))
    except (OSError, PublishError, ValueError, TypeError):  # any bytes may stand there
        return ""
    return str(said) if whole else ""


def _whole(out: Path, sums: dict[str, str]) -> bool:
    beside = {checksums.NAME, checksums.SIGNATURE, readme.NAME}
    if set(files_below(out)) - beside != set(sums) - beside:
        return False
    return all(checksums.digest_file(out / path) == value for path, value in sums.items())
