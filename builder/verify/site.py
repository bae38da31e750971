"""The files of one edition in a published folder, read at first need and once."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cached_property
from pathlib import Path
from typing import Any

from builder.base.errors import ArchiveError
from builder.verify.paper import Paper
from builder.verify.reading import PageRead, read_page

REVISIONS = "revisions/"
SNAPSHOT = "content/"


class Site:
    """One edition: the site's own, or a frozen one below ``revisions/``."""

    def __init__(self, root: Path, prefix: str = "") -> None:
        self.root = root
        self.prefix = prefix
        """Path below the whole site, with its slash, or empty for the site itself."""
        self._pages: dict[str, PageRead] = {}
        self._json: dict[str, Any] = {}

    def at(self, path: str) -> str:
        """A path as faults name it."""
        return f"{self.prefix}{path}"

    @cached_property
    def everything(self) -> frozenset[str]:
        """Every file below its folder, other editions and the content of a frozen one included."""
        return frozenset(path.relative_to(self.root).as_posix() for path in self.root.rglob("*") if path.is_file())

    @cached_property
    def files(self) -> tuple[str, ...]:
        """Every file of this edition; other editions and the content of a frozen one are none of its own."""
        return tuple(sorted(path for path in self.everything if not path.startswith((REVISIONS, SNAPSHOT))))

    def has(self, path: str) -> bool:
        """Whether there is such a file."""
        return (self.root / path).is_file()

    def data(self, path: str) -> bytes:
        """The bytes of a file.

        :raises ArchiveError: when it cannot be read.
        """
        try:
            return (self.root / path).read_bytes()
        except OSError as fault:
            raise ArchiveError(f"{self.at(path)} cannot be read: {fault.strerror}") from fault

    def text(self, path: str) -> str:
        """The text of a file; bytes that are no UTF-8 show as such."""
        return self.data(path).decode(errors="replace")

    def json(self, path: str) -> Any:
        """A file of data, read once.

        :raises ArchiveError: when it is no JSON.
        """
        if path not in self._json:
            try:
                self._json[path] = json.loads(self.data(path))
            except ValueError as fault:
                raise ArchiveError(f"{self.at(path)} is no JSON: {fault}") from fault
        return self._json[path]

    @cached_property
    def figures(self) -> dict[str, Any]:
        """The ledger, by key."""
        return dict(self.json("figures.json")["figures"])

    def paths(self, start: str, ending: str) -> tuple[str, ...]:
        """Files whose path begins and ends so."""
        return tuple(path for path in self.files if path.startswith(start) and path.endswith(ending))

    @staticmethod
    def thing(folder: str, name: str) -> str:
        """Path of the page of a thing; one that is called ``index`` makes way for that of its folder."""
        return f"{folder}/{'index-' if name == 'index' else name}.html"

    def page(self, path: str) -> PageRead | None:
        """A page, read once, or ``None`` where there is none."""
        if path not in self._pages:
            if not self.has(path):
                return None
            self._pages[path] = read_page(self.text(path))
        return self._pages[path]

    def pages(self) -> Iterator[tuple[str, PageRead]]:
        """Every page by its path."""
        for path in self.paths("", ".html"):
            page = self.page(path)
            if page is not None:
                yield path, page

    @cached_property
    def _derivations(self) -> tuple[PageRead, ...]:
        return tuple(page for path, page in self.pages() if path.startswith("figures/"))

    def derivation_pages(self) -> tuple[PageRead, ...]:
        """The pages of derivations."""
        return self._derivations

    def paper(self, path: str) -> Paper:
        """A PDF.

        :raises ArchiveError: when it cannot be read.
        """
        return Paper(self.data(path), self.at(path))
