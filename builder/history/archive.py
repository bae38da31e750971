"""The released revisions of a published site."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import field, replace
from pathlib import Path

from builder.base.plain_file import plain_bytes
from builder.base.record import dataclass
from builder.history.edition import ABOUT, Edition, read_about, read_edition

FOLDER = "revisions"
NUMBER = re.compile("[1-9][0-9]*")


@dataclass(frozen=True, slots=True)
class Archive:
    """What was released, by number, rising."""

    editions: Mapping[int, Edition] = field(default_factory=dict)

    @property
    def last(self) -> Edition | None:
        """The latest release, or ``None`` before the first."""
        return self.editions[max(self.editions)] if self.editions else None

    def before(self, number: int) -> Archive:
        """Only the revisions below ``number``."""
        return Archive({found: edition for found, edition in self.editions.items() if found < number})


@dataclass(frozen=True, slots=True)
class Past:
    """What an edition being made knows of those before it."""

    archive: Archive = field(default_factory=Archive)
    linked: frozenset[int] = frozenset()
    """Numbers of the revisions whose frozen copies lie below the site being made."""
    releasing: int = 0
    """Number of the revision being released, 0 for a draft."""


def revision_folders(site: Path) -> dict[int, Path]:
    """Number -> folder of each released revision in a site, rising; other folders, as ``02``, are not looked at."""
    folder = site / FOLDER
    if not folder.is_dir():
        return {}
    found = [path for path in folder.iterdir() if NUMBER.fullmatch(path.name) and (path / ABOUT).is_file()]
    return {int(path.name): path for path in sorted(found, key=lambda path: int(path.name))}


def read_archive(site: Path) -> Archive:
    """Every released revision of a site.

    :raises ArchiveError: when the files of one cannot be read.
    """
    return Archive({number: read_folder(path) for number, path in revision_folders(site).items()})


def read_folder(folder: Path) -> Edition:
    """One released revision.

    :raises ArchiveError: when its files cannot be read.
    """

    def read(name: str) -> bytes:
        return plain_bytes(folder / name)

    what = f"{FOLDER}/{folder.name}"
    return replace(read_edition(read, what), about=read_about(read, what))
